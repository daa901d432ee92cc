import { type DayNumber, isoDate, monthDayIn, yearOf } from '../base/day.ts';
import type { Column } from './columns.ts';
import type { WeatherFinding } from './finding.ts';

/** Length of the stretches that are judged one by one, days. */
const BLOCK = 90;
/** Too few wet days say nothing. */
const LEAST_WET = 3;
/** No gauge reads finer than a tenth of a millimetre; smaller values come from a wrong conversion or from a model. */
const FINEST_MM = 0.095;

/**
 * Limits of a 90-day stretch. Defaults of judgement, set between right and wrong units on 17 stations of the middle
 * latitudes: largest day in mm 3 to 150, mean wet day 1 to 24.
 */
const SMALL = { max: 4, fineMax: 16, fineMean: 2.2 };
const LARGE = { mean: 30, wholeMean: 15 };
/** Against the same days of the other years, where there are any: total below a tenth, or above eightfold. */
const RATIO = { least: 0.1, most: 8 };

type Verdict = { readonly code: 'rain-small' | 'rain-large'; readonly given: number; readonly limit: number };
type Block = { readonly first: number; readonly last: number; readonly verdict: Verdict | null };

const isWhole = (value: number): boolean => Math.abs(value - Math.round(value)) < 1e-6;

/** Judges the sizes of wet days, since they differ less from climate to climate than totals do. */
const verdictOn = (values: Column): Verdict | null => {
  const wet = values.filter((value): value is number => value !== null && value > 0);
  if (wet.length < LEAST_WET) return null;
  const mean = wet.reduce((sum, value) => sum + value, 0) / wet.length;
  const max = Math.max(...wet);
  const fine = wet.some((value) => value < FINEST_MM) && mean < SMALL.fineMean;
  const least = fine ? SMALL.fineMax : SMALL.max;
  if (max < least) return { code: 'rain-small', given: max, limit: least };
  const most = wet.every(isWhole) ? LARGE.wholeMean : LARGE.mean;
  return mean > most ? { code: 'rain-large', given: mean, limit: most } : null;
};

const total = (column: Column, first: number, last: number): number => {
  if (first < 0 || last >= column.length) return Number.NaN;
  let sum = 0;
  for (let i = first; i <= last; i++) sum += column[i] ?? 0;
  return sum;
};

/** Total of a stretch over the mean of the same days in other years; NaN where no other year covers them. */
const ratioToOtherYears = (column: Column, startDay: DayNumber, { first, last }: Omit<Block, 'verdict'>): number => {
  const own = yearOf(startDay + first);
  const others: number[] = [];
  for (let year = yearOf(startDay); year <= yearOf(startDay + column.length - 1); year++) {
    const from = monthDayIn(year, isoDate(startDay + first).slice(5)) - startDay;
    const sum = year === own ? Number.NaN : total(column, from, from + last - first);
    if (!Number.isNaN(sum)) others.push(sum);
  }
  // The middle one, so that a single wrong year does not spoil the yardstick of the others.
  const usual = others.sort((a, b) => a - b)[Math.floor(others.length / 2)] ?? Number.NaN;
  return total(column, first, last) / usual;
};

const blocksOf = (column: Column): Block[] => {
  const count = Math.max(1, Math.round(column.length / BLOCK));
  return Array.from({ length: count }, (_, k) => {
    const first = Math.floor((k * column.length) / count);
    const last = Math.floor(((k + 1) * column.length) / count) - 1;
    return { first, last, verdict: verdictOn(column.slice(first, last + 1)) };
  });
};

/**
 * Rain that seems to be in another unit. The whole series is suspected when most of its 90-day stretches are; otherwise
 * a stretch is, when the other years of the series disagree with it too.
 */
export const rainUnitFindings = (column: Column, startDay: DayNumber): WeatherFinding[] => {
  const blocks = blocksOf(column);
  const finding = (first: number, last: number, verdict: Verdict): WeatherFinding => ({
    ...verdict,
    severity: 'warning',
    from: startDay + first,
    to: startDay + last,
    column: 'rainMm',
  });
  for (const code of ['rain-small', 'rain-large'] as const) {
    const suspects = blocks.filter((block) => block.verdict?.code === code);
    const worst = suspects[0]?.verdict;
    if (worst && suspects.length * 2 > blocks.length) return [finding(0, column.length - 1, worst)];
  }
  return blocks.flatMap(({ first, last, verdict }) => {
    if (verdict === null) return [];
    const ratio = ratioToOtherYears(column, startDay, { first, last });
    const apart = verdict.code === 'rain-small' ? ratio < RATIO.least : ratio > RATIO.most;
    return apart ? [finding(first, last, verdict)] : [];
  });
};
