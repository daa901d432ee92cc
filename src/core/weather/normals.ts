import { type DayNumber, isoDate, monthDayIn, yearOf } from '../base/day.ts';
import type { Column } from './columns.ts';

/** Days on either side of the day of the year that count as the same time of the year. */
const HALF_WINDOW = 10;
/** Other years count only with about half a window of values: fewer is weather, not climate. */
const LEAST_VALUES = 10;
/** With no other year: this many known days before the day and as many after it. */
const NEAREST = 15;

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

const otherYears = (column: Column, startDay: DayNumber, day: DayNumber): number[] => {
  const values: number[] = [];
  const monthDay = isoDate(day).slice(5);
  const lastYear = yearOf(startDay + column.length - 1 + HALF_WINDOW);
  for (let year = yearOf(startDay - HALF_WINDOW); year <= lastYear; year++) {
    if (year === yearOf(day)) continue;
    const centre = monthDayIn(year, monthDay) - startDay;
    for (let i = centre - HALF_WINDOW; i <= centre + HALF_WINDOW; i++) {
      const value = column[i] ?? null;
      if (value !== null) values.push(value);
    }
  }
  return values;
};

const nearest = (column: Column, index: number, step: 1 | -1): number[] => {
  const values: number[] = [];
  const start = step === 1 ? Math.max(index + 1, 0) : Math.min(index - 1, column.length - 1);
  for (let i = start; i >= 0 && i < column.length && values.length < NEAREST; i += step) {
    const value = column[i] ?? null;
    if (value !== null) values.push(value);
  }
  return values;
};

/**
 * What is usual on a day, from the series itself: the mean of the same day of the year, 10 days either side, of the
 * other years; with no other year, the mean of the 15 known days nearest before it and after it. NaN when nothing is known.
 * Mean rain is drizzle: it keeps the sum and loses the dry days.
 * Source: default of judgement.
 * @param startDay day of `column[0]`; `day` may lie outside the series
 * @example normal([1, 3, null, 5], 0, 2) // 3
 */
export const normal = (column: Column, startDay: DayNumber, day: DayNumber): number => {
  const others = otherYears(column, startDay, day);
  if (others.length >= LEAST_VALUES) return mean(others);
  const index = day - startDay;
  return mean([...nearest(column, index, -1), ...nearest(column, index, 1)]);
};
