import type { DayNumber } from '../core/base/day.ts';
import { profileDays } from '../core/soil/profile.ts';
import { neededColumns } from '../core/weather/columns.ts';
import { gaps } from '../core/weather/filled.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Span } from '../sources/live/contract.ts';
import type { Kept } from './allRecords.ts';
import { datesOf, standingOn } from './cropping.ts';
import { AHEAD_DAYS, type FarmParts, weatherBegins } from './gather.ts';
import { cut } from './joined.ts';
import { centroid } from './place.ts';
import type { FieldRecord } from './records/schema.ts';

/** Passes further apart, days, are of years that have nothing to do with each other. */
const APART_DAYS = 2 * 366;

/**
 * The first and the last of days that are near one another. Each span is asked for alone: of one wrong date, such as 1926 for
 * 2026, a source may know nothing, or a century is more than it tells.
 * @param days in order
 */
export const spansOf = (days: readonly DayNumber[]): readonly Span[] => {
  const spans: Span[] = [];
  for (const day of days) {
    const last = spans.at(-1);
    if (last !== undefined && day - last.to <= APART_DAYS) spans.splice(-1, 1, { from: last.from, to: day });
    else spans.push({ from: day, to: day });
  }
  return spans;
};

/** A gap that is filled with what is usual is filled from days after it too, so its run may not be a longer one. */
const isFilledAhead = (weather: DailyWeather): boolean =>
  neededColumns.some((name) => gaps(weather[name]).some(({ fill }) => fill === 'climatology'));

/**
 * What mornings must have in common to come out of one run as out of a run each: the plantings, the first day of
 * weather, and what the soil starts from.
 */
const runName = (
  plantings: FarmParts['plantings'],
  fieldId: string,
  latitudeDeg: number,
  on: DayNumber,
  weather: DailyWeather,
): string => {
  const standing = standingOn(plantings, fieldId, on);
  const from = weatherBegins(on, datesOf(standing), latitudeDeg);
  const known = cut(weather, from, on + AHEAD_DAYS);
  const alone = isFilledAhead(known) ? on : '';
  return [...standing.map(({ id }) => id), from, profileDays(known.tempMaxC.length), alone].join(' ');
};

/** The mornings of a field, those together that one run of the model tells. A record must not depend on what else it lists. */
export const runs = (
  plantings: FarmParts['plantings'],
  field: Kept<FieldRecord>,
  days: readonly DayNumber[],
  weather: DailyWeather,
): readonly (readonly DayNumber[])[] => {
  // Once: an outline may have thousands of positions, and a record thousands of days.
  const { latitudeDeg } = centroid(field.data.geometry);
  const found = new Map<string, DayNumber[]>();
  for (const day of days) {
    const name = runName(plantings, field.id, latitudeDeg, day, weather);
    found.set(name, [...(found.get(name) ?? []), day]);
  }
  return [...found.values()];
};
