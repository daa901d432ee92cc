import type { DayNumber } from '../core/base/day.ts';
import { profileDays } from '../core/soil/profile.ts';
import { neededColumns } from '../core/weather/columns.ts';
import { gaps } from '../core/weather/filled.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Kept } from './allRecords.ts';
import { datesOf, standingOn } from './cropping.ts';
import { AHEAD_DAYS, type FarmParts, weatherFrom } from './gather.ts';
import { cut } from './joined.ts';
import { centroid } from './place.ts';
import type { FieldRecord } from './records/schema.ts';

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
  const from = weatherFrom(on, datesOf(standing), latitudeDeg);
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
