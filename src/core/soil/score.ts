import { mean, median, sampleCorrelation } from 'simple-statistics';
import { type DayNumber, monthDayIn, yearOf } from '../base/day.ts';
import type { SoilDays } from './days.ts';

/** What a thermometer and a moisture probe can have measured, by column name of the observed file. */
export const observedColumns = [
  'soilT5_c',
  'soilT10_c',
  'soilT5_max_c',
  'soilT5_min_c',
  'soilM5_m3m3',
  'soilM10_m3m3',
] as const;
export type ObservedColumn = (typeof observedColumns)[number];
/** A value a day from the first day of the simulated series on; null where nothing was measured. */
export type Observed = Readonly<Partial<Record<ObservedColumn, readonly (number | null)[]>>>;

/** Simulated less observed, over the days that have both. */
export type Fit = {
  readonly n: number;
  readonly bias: number;
  readonly rmse: number;
  /** RMSE that is left when the bias is taken out. */
  readonly unbiasedRmse: number;
  /** Spearman rank correlation, ties at their mean rank; null for fewer than three days. */
  readonly rankCorrelation: number | null;
};

/** Days by which the simulated soil is late (+) or early (-) to reach a heat sum; null where either never does. */
export type HeatDateError = { readonly year: number; readonly heatCd: number; readonly errorDays: number | null };

export type StationScore = {
  readonly fits: Readonly<Partial<Record<ObservedColumn, Fit>>>;
  readonly heatDates: readonly HeatDateError[];
};

/** Which days count: from and to (MM-DD, both included) of the years named, or of every year. */
export type ScoredSeason = { readonly from: string; readonly to: string; readonly years?: readonly number[] };

const simulatedColumn = (soil: SoilDays, column: ObservedColumn): Float64Array =>
  ({
    soilT5_c: soil.temp5MeanC,
    soilT10_c: soil.temp10MeanC,
    soilT5_max_c: soil.temp5MaxC,
    soilT5_min_c: soil.temp5MinC,
    soilM5_m3m3: soil.waterM3PerM3[1] as Float64Array,
    soilM10_m3m3: soil.waterM3PerM3[2] as Float64Array,
  })[column];

/** The seasons of a series as day ranges. A season whose `to` lies before its `from` runs over New Year. */
const seasons = (soil: SoilDays, season: ScoredSeason): { year: number; first: DayNumber; last: DayNumber }[] => {
  const end = soil.startDay + soil.days - 1;
  const found = [];
  for (let year = yearOf(soil.startDay) - 1; year <= yearOf(end); year++) {
    if (season.years !== undefined && !season.years.includes(year)) continue;
    const first = Math.max(soil.startDay, monthDayIn(year, season.from));
    const last = Math.min(end, monthDayIn(season.to < season.from ? year + 1 : year, season.to));
    if (first <= last) found.push({ year, first, last });
  }
  return found;
};

/** Ranks from 1, equal values at their mean rank. */
const meanRanks = (values: readonly number[]): number[] => {
  const order = values.map((_, i) => i).sort((i, j) => (values[i] as number) - (values[j] as number));
  const ranks = new Array<number>(values.length);
  for (let start = 0; start < order.length; ) {
    let end = start;
    while (end + 1 < order.length && values[order[end + 1] as number] === values[order[start] as number]) end++;
    for (let k = start; k <= end; k++) ranks[order[k] as number] = (start + end) / 2 + 1;
    start = end + 1;
  }
  return ranks;
};

/** Bias, RMSE, unbiased RMSE and rank correlation of pairs; undefined without a pair. */
export const fitOf = (simulated: readonly number[], observed: readonly number[]): Fit | undefined => {
  if (simulated.length === 0) return undefined;
  const errors = simulated.map((value, i) => value - (observed[i] as number));
  const bias = mean(errors);
  const rmse = Math.sqrt(mean(errors.map((e) => e * e)));
  const unbiasedRmse = Math.sqrt(Math.max(0, rmse * rmse - bias * bias));
  const rankCorrelation = simulated.length < 3 ? null : sampleCorrelation(meanRanks(simulated), meanRanks(observed));
  return { n: simulated.length, bias, rmse, unbiasedRmse, rankCorrelation };
};

const HEAT_BASE_C = 9;
const HEAT_SUMS_CD = [100, 200, 300];

/** Both heat sums run over the days that were measured, so that a hole in the record favours neither. */
const heatDateErrors = (
  simulated: Float64Array,
  observed: readonly (number | null)[],
  startDay: DayNumber,
  season: { year: number; first: DayNumber; last: DayNumber },
): HeatDateError[] => {
  const reached = { simulated: new Map<number, number>(), observed: new Map<number, number>() };
  let sumSimulated = 0;
  let sumObserved = 0;
  for (let day = season.first; day <= season.last; day++) {
    const value = observed[day - startDay];
    if (value === null || value === undefined) continue;
    sumSimulated += Math.max(0, simulated[day - startDay] - HEAT_BASE_C);
    sumObserved += Math.max(0, value - HEAT_BASE_C);
    for (const sum of HEAT_SUMS_CD) {
      if (sumSimulated >= sum && !reached.simulated.has(sum)) reached.simulated.set(sum, day);
      if (sumObserved >= sum && !reached.observed.has(sum)) reached.observed.set(sum, day);
    }
  }
  return HEAT_SUMS_CD.map((heatCd) => {
    const ours = reached.simulated.get(heatCd);
    const theirs = reached.observed.get(heatCd);
    return { year: season.year, heatCd, errorDays: ours === undefined || theirs === undefined ? null : ours - theirs };
  });
};

/**
 * How a simulated soil compares with what was measured. The whole series is simulated; only the season is scored.
 * @param observed columns aligned with the simulated days
 */
export const stationScore = (soil: SoilDays, observed: Observed, season: ScoredSeason): StationScore => {
  const ranges = seasons(soil, season);
  const fits: Partial<Record<ObservedColumn, Fit>> = {};
  for (const column of observedColumns) {
    const values = observed[column];
    if (values === undefined) continue;
    const simulated = simulatedColumn(soil, column);
    const pairs: [number, number][] = [];
    for (const { first, last } of ranges)
      for (let i = first - soil.startDay; i <= last - soil.startDay; i++) {
        const value = values[i];
        if (value !== null && value !== undefined) pairs.push([simulated[i] as number, value]);
      }
    const fit = fitOf(
      pairs.map(([s]) => s),
      pairs.map(([, o]) => o),
    );
    if (fit !== undefined) fits[column] = fit;
  }
  const measured = observed.soilT5_c;
  const heatDates =
    measured === undefined
      ? []
      : ranges.flatMap((range) => heatDateErrors(soil.temp5MeanC, measured, soil.startDay, range));
  return { fits, heatDates };
};

/** The middle of a number over several stations; null where none has it. */
export const medianOver = (values: readonly (number | null | undefined)[]): number | null => {
  const known = values.filter((v): v is number => v !== null && v !== undefined && Number.isFinite(v));
  return known.length === 0 ? null : median(known);
};
