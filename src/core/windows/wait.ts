import { sixDigits } from '../base/numbers.ts';
import type { WeedDays } from '../weeds/days.ts';
import type { WindowDay } from './schema.ts';

/**
 * Writes into every day that has a next one what waiting for it changes.
 * @param days in the order of days, then of implements
 * @param first index of the first day in `weeds`
 */
export const addWaits = (
  days: WindowDay[],
  implementCount: number,
  weeds: WeedDays,
  weights: readonly number[],
  first: number,
): void => {
  let growingOut = 0;
  for (let n = 0; n + implementCount < days.length; n++) {
    if (n % implementCount === 0) growingOut = growingOutFrac(weeds, weights, first + n / implementCount);
    const next = days[n + implementCount];
    const isUnknown = next.closed.length > 0 && next.closed.every(({ reason }) => reason === 'rain-unknown');
    days[n].wait = {
      opensNextDay: isUnknown ? null : next.open,
      scoreChange: isUnknown ? null : sixDigits(next.score - days[n].score),
      outOfWhiteThreadFrac: sixDigits(Math.min(1, growingOut)),
    };
  }
};

/** Share of the weed year that comes up in the course of day `index`. */
const growingOutFrac = (weeds: WeedDays, weights: readonly number[], index: number): number => {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) {
    const { emergedFrac } = weeds.species[k];
    sum += weights[k] * (emergedFrac[index + 1] - emergedFrac[index]);
  }
  return sum;
};
