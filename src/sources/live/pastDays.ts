import { type DayNumber, dayNumber, isoDate } from '../../core/base/day.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';
import type { Span } from './contract.ts';
import { civilDay, spanOf } from './days.ts';
import { malformed, outside } from './failure.ts';

/**
 * The part of a span that a source of past weather can have: from its first day to yesterday at the place.
 * @throws Failure 'source-outside' where nothing is left
 */
export const pastPart = (id: string, firstDate: string, site: Site, span: Span, nowMs: number): Span => {
  const from: DayNumber = Math.max(span.from, dayNumber(firstDate));
  const to = Math.min(span.to, civilDay(nowMs, site.timeZone) - 1);
  if (from > to) throw outside(id, 'other days', `${firstDate} to yesterday`);
  return { from, to };
};

/** The weather, all of whose days were asked for. @throws Failure 'source-malformed' */
export const asAsked = (id: string, weather: DailyWeather, { from, to }: Span): DailyWeather => {
  const has = spanOf(weather);
  if (has.from < from || has.to > to)
    throw malformed(id, 'dates', `${isoDate(has.from)} to ${isoDate(has.to)}`, `${isoDate(from)} to ${isoDate(to)}`);
  return weather;
};

/** Every date of a span, in order. */
export const datesOf = ({ from, to }: Span): string[] =>
  Array.from({ length: to - from + 1 }, (_, i) => isoDate(from + i));

/**
 * A column over dates from values by date; null where there is none.
 * @throws Failure 'source-malformed' for values of other dates
 */
export const columnOf = (
  id: string,
  byDate: ReadonlyMap<string, number | null>,
  dates: readonly string[],
): (number | null)[] => {
  const found = dates.map((date) => byDate.get(date));
  if (found.reduce<number>((count, value) => (value === undefined ? count : count + 1), 0) < byDate.size) {
    const wanted = new Set(dates);
    const odd = [...byDate.keys()].find((date) => !wanted.has(date));
    throw malformed(id, 'dates', String(odd), `${dates[0]} to ${dates.at(-1)}`);
  }
  return found.map((value) => value ?? null);
};
