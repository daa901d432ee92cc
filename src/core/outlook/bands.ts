import { type DayNumber, isoDate } from '../base/day.ts';
import type { DatedBand } from './schema.ts';

/** A day that may be off by so many days either way. */
export const band = (day: DayNumber, plusMinus: number): DatedBand => between(day, day - plusMinus, day + plusMinus);

/** A day with its own earliest and latest. */
export const between = (day: DayNumber, earliest: DayNumber, latest: DayNumber): DatedBand => ({
  date: isoDate(day),
  earliest: isoDate(earliest),
  latest: isoDate(latest),
});
