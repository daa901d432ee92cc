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
  for (let n = 0; n + implementCount < days.length; n++) {
    const index = first + Math.floor(n / implementCount);
    let growingOut = 0;
    for (let k = 0; k < weights.length; k++) {
      const { emergedFrac } = weeds.species[k];
      growingOut += weights[k] * (emergedFrac[index + 1] - emergedFrac[index]);
    }
    const next = days[n + implementCount];
    days[n].wait = {
      opensNextDay: next.open,
      scoreChange: next.score - days[n].score,
      outOfWhiteThreadFrac: Math.min(1, growingOut),
    };
  }
};
