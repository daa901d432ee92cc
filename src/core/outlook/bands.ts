import { type DayNumber, isoDate } from '../base/day.ts';
import type { DatedBand, OpenBand } from './schema.ts';

/** A day that may be off by so many days either way. */
export const band = (day: DayNumber, plusMinus: number): DatedBand => between(day, day - plusMinus, day + plusMinus);

/** A day that may come so many days earlier, and any number later. */
export const orLater = (day: DayNumber, minus: number): OpenBand => ({ ...band(day, minus), latest: null });

/** A day with its own earliest and latest. */
export const between = (day: DayNumber, earliest: DayNumber, latest: DayNumber): DatedBand => ({
  date: isoDate(day),
  earliest: isoDate(earliest),
  latest: isoDate(latest),
});

/** A band of what comes after something else: neither its earliest nor its latest is before that one's. */
export const following = (before: OpenBand, { date, earliest, latest }: OpenBand): OpenBand => ({
  date,
  earliest: earliest < before.earliest ? before.earliest : earliest,
  latest: latest === null || before.latest === null ? null : latest < before.latest ? before.latest : latest,
});
