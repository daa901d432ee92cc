import type { DayNumber } from '../base/day.ts';
import { clamp } from '../base/numbers.ts';
import type { SpeciesDays, WeedDays } from './days.ts';
import { type Wave, waves } from './waves.ts';
import { sentUpFrac } from './weedYear.ts';

/** A wave of seedlings, as day numbers; the bands around them are the outlook's. */
export type FlushDays = {
  readonly startDay: DayNumber;
  readonly peakDay: DayNumber;
  readonly endDay: DayNumber;
  /** Share of what the days asked for send up in all, all species by weight; what is known of it where the wave goes on. */
  readonly shareFrac: number;
  /** The wave still runs where the weather ends: its peak may come later, and it will hold more. */
  readonly goesOn: boolean;
  /** Who comes up in it: shares of the wave, adding up to 1, largest first. */
  readonly species: readonly { readonly speciesId: string; readonly shareFrac: number }[];
  /** Mornings on which the white threads of this wave are at least 80 % of their most. */
  readonly whiteThreadFromDay: DayNumber;
  readonly whiteThreadPeakDay: DayNumber;
  readonly whiteThreadToDay: DayNumber;
};

const NEAR_MOST = 0.8;

/** What comes up from the morning of index `from` to the evening of `to`. */
const risen = (one: SpeciesDays, from: number, to: number): number =>
  one.potentialFrac[to + 1] - one.potentialFrac[from];

/**
 * White threads on the morning of `i` that come up within a wave. Cohorts come up in the order they germinate, so these
 * are the part of the cumulative curve between the wave's ends that has germinated and is not yet up. A wave that goes on
 * has no second end.
 */
const threadsOf = (one: SpeciesDays, wave: Wave, goesOn: boolean, i: number): number => {
  const first = one.potentialFrac[wave.from];
  const last = goesOn ? Number.POSITIVE_INFINITY : one.potentialFrac[wave.to + 1];
  return clamp(one.germinatedFrac[i], first, last) - clamp(one.potentialFrac[i], first, last);
};

/** First, highest and last morning around the highest stock of white threads of a wave. */
const whiteThreadDays = (stock: Float64Array): { from: number; peak: number; to: number } => {
  const peak = stock.reduce((best, value, i) => (value > stock[best] ? i : best), 0);
  const least = NEAR_MOST * stock[peak];
  let from = peak;
  let to = peak;
  while (from > 0 && stock[from - 1] >= least) from--;
  while (to + 1 < stock.length && stock[to + 1] >= least) to++;
  return { from, peak, to };
};

/**
 * The waves of seedlings of a field over a range of days: all species together, each by its weight, as they would come
 * up if no pass killed a white thread. Species shares under 1 % are left out.
 * @param weights relative densities, in the order of `weeds.species`
 * @param range first and last day; usually one weed year
 */
export const flushes = (
  weeds: WeedDays,
  weights: readonly number[],
  range: { readonly from: DayNumber; readonly to: DayNumber },
): FlushDays[] => {
  const allWeights = weights.reduce((a, b) => a + b, 0);
  const first = Math.max(0, range.from - weeds.startDay);
  // A day's seedlings are known on the next morning, so the last day of a series has none.
  const last = Math.min(weeds.days - 2, range.to - weeds.startDay);
  if (last < first) return [];
  const weighted = (value: (one: SpeciesDays) => number): number =>
    weeds.species.reduce((sum, one, s) => sum + ((weights[s] ?? 0) / allWeights) * value(one), 0);
  const rate = Float64Array.from({ length: last - first + 1 }, (_, k) =>
    weighted((one) => risen(one, first + k, first + k)),
  );
  const total = weighted((one) => sentUpFrac(one, first, last + 1));
  return waves(rate).map((found): FlushDays => {
    const wave = { ...found, from: found.from + first, peak: found.peak + first, to: found.to + first };
    const goesOn = wave.to === weeds.days - 2;
    const threadsOn = (i: number): number => weighted((one) => threadsOf(one, wave, goesOn, i));
    const share = weighted((one) => risen(one, wave.from, wave.to));
    // Its white threads may be older than its first seedling by weeks, in the cold by months.
    let oldest = wave.from;
    while (oldest > 0 && threadsOn(oldest) > 0) oldest--;
    const stock = Float64Array.from({ length: wave.to + 2 - oldest }, (_, k) => threadsOn(oldest + k));
    const threads = whiteThreadDays(stock);
    const species = weeds.species
      .map((one, s) => ({
        speciesId: one.speciesId,
        shareFrac: ((weights[s] ?? 0) / allWeights) * (risen(one, wave.from, wave.to) / share),
      }))
      .filter((one) => one.shareFrac >= 0.01)
      .sort((a, b) => b.shareFrac - a.shareFrac);
    return {
      startDay: weeds.startDay + wave.from,
      peakDay: weeds.startDay + wave.peak,
      endDay: weeds.startDay + wave.to,
      shareFrac: share / total,
      goesOn,
      species,
      whiteThreadFromDay: weeds.startDay + oldest + threads.from,
      whiteThreadPeakDay: weeds.startDay + oldest + threads.peak,
      whiteThreadToDay: weeds.startDay + oldest + threads.to,
    };
  });
};
