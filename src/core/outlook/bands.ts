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

/** The later of two ISO dates, which sort as texts do. */
const later = (one: string, other: string): string => [one, other].sort()[1] as string;

/**
 * A band of what comes after something else: neither its earliest nor its latest is before that one's. What comes first
 * may be unknown.
 */
export const following = <B extends OpenBand>(before: B | null, band: B): B => {
  if (before === null) return band;
  const { date, earliest, latest } = band;
  return {
    date,
    earliest: later(earliest, before.earliest),
    latest: latest === null || before.latest === null ? null : later(latest, before.latest),
  } as B;
};
