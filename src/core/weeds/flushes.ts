import type { DayNumber } from '../base/day.ts';
import { clamp } from '../base/numbers.ts';
import type { SpeciesDays, WeedDays } from './days.ts';
import { type Wave, waves } from './waves.ts';
import type { WeedYear } from './weedYear.ts';

/** A wave of seedlings, as day numbers; the bands around them are the outlook's. */
export type FlushDays = {
  readonly startDay: DayNumber;
  readonly peakDay: DayNumber;
  readonly endDay: DayNumber;
  /** Share of what the weed year sends up in all, all species by weight; what is known of it where the wave goes on. */
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

/** Of the year of a species, what counts here. */
type Year = Pick<WeedYear, 'first' | 'end' | 'totalFrac'>;

/** The levels between which a cumulative column of seedlings rises in a wave, as far as it lies in their year. */
const levels = ({ potentialFrac }: SpeciesDays, { first, end }: Year, { from, to }: Pick<Wave, 'from' | 'to'>) => {
  const low = potentialFrac[Math.min(Math.max(from, first), end)];
  return { low, high: Math.max(low, potentialFrac[Math.min(to + 1, end)]) };
};

/** What comes up in the days of a wave. */
const risen = (one: SpeciesDays, year: Year, wave: Pick<Wave, 'from' | 'to'>): number => {
  const { low, high } = levels(one, year, wave);
  return high - low;
};

/**
 * White threads on the morning of `i` that come up within a wave. Cohorts come up in the order they germinate, so these
 * are the part of the cumulative curve between the wave's ends that has germinated and is not yet up. A wave that goes on
 * has no second end.
 */
const threadsOf = (one: SpeciesDays, year: Year, wave: Wave, goesOn: boolean, i: number): number => {
  const { low, high } = levels(one, year, wave);
  const last = goesOn && wave.to < year.end ? Number.POSITIVE_INFINITY : high;
  return clamp(one.germinatedFrac[i], low, last) - clamp(one.potentialFrac[i], low, last);
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
 * The waves of seedlings of a field in the weed years of its species: all together, each by its weight, as they would come
 * up if no pass killed a white thread. Species shares under 1 % are left out.
 * @param weights relative densities, in the order of `weeds.species`
 * @param years in that order, as `weedYear` gives them
 */
export const flushes = (weeds: WeedDays, weights: readonly number[], years: readonly Year[]): FlushDays[] => {
  const allWeights = weights.reduce((a, b) => a + b, 0);
  const first = Math.min(...years.map((year) => year.first));
  // A day's seedlings are known on the next morning, so the last day of a series has none.
  const last = Math.max(...years.map(({ end }) => end)) - 1;
  if (last < first) return [];
  const weighted = (value: (one: SpeciesDays, year: Year) => number): number =>
    weeds.species.reduce((sum, one, s) => sum + ((weights[s] ?? 0) / allWeights) * value(one, years[s]), 0);
  const rate = Float64Array.from({ length: last - first + 1 }, (_, k) =>
    weighted((one, year) => risen(one, year, { from: first + k, to: first + k })),
  );
  const total = weighted((_, { totalFrac }) => totalFrac);
  return waves(rate).map((found): FlushDays => {
    const wave = { ...found, from: found.from + first, peak: found.peak + first, to: found.to + first };
    const goesOn = wave.to === weeds.days - 2;
    const threadsOn = (i: number): number => weighted((one, year) => threadsOf(one, year, wave, goesOn, i));
    const share = weighted((one, year) => risen(one, year, wave));
    // Its white threads may be older than its first seedling by weeks, in the cold by months.
    let oldest = wave.from;
    while (oldest > 0 && threadsOn(oldest) > 0) oldest--;
    const stock = Float64Array.from({ length: wave.to + 2 - oldest }, (_, k) => threadsOn(oldest + k));
    const threads = whiteThreadDays(stock);
    const species = weeds.species
      .map((one, s) => ({
        speciesId: one.speciesId,
        shareFrac: ((weights[s] ?? 0) / allWeights) * (risen(one, years[s], wave) / share),
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
