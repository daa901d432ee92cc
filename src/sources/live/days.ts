import { DateTime } from 'luxon';
import { type DayNumber, dayNumber, isoDate } from '../../core/base/day.ts';
import { type Column, neededColumns, optionalColumns } from '../../core/weather/columns.ts';
import { limitProblems, MOST_CROSSED_C } from '../../core/weather/qualityLimits.ts';
import type { DailyWeather } from '../../core/weather/schema.ts';
import { type Quantity, unitOf } from '../units.ts';
import { malformed } from './failure.ts';

const columns = [...neededColumns, ...optionalColumns];
type Named = (typeof columns)[number];
/** More crossed days than this share, and two columns were mixed up. */
const MOST_CROSSED_SHARE = 0.05;

/** The civil day at an instant in a zone. @example civilDay(0, 'America/Chicago') // -1 */
export const civilDay = (ms: number, timeZone: string): DayNumber =>
  dayNumber(DateTime.fromMillis(ms, { zone: timeZone }).toFormat('yyyy-MM-dd'));

/** First instant of a civil day in a zone: midnight, or the first moment after it where the clock leaps over midnight. */
export const dayStartMs = (day: DayNumber, timeZone: string): number =>
  DateTime.fromISO(isoDate(day), { zone: timeZone }).startOf('day').toMillis();

/** First and last day of a series. */
export const spanOf = (weather: DailyWeather): { from: DayNumber; to: DayNumber } => {
  const from = dayNumber(weather.startDate);
  return { from, to: from + weather.tempMaxC.length - 1 };
};

/** A series with the same columns, each made anew from its name, from another first day on. */
const remade = (like: DailyWeather, from: DayNumber, valuesOf: (column: Named) => (number | null)[]): DailyWeather => {
  const made = columns.filter((name) => like[name] !== undefined).map((name) => [name, valuesOf(name)] as const);
  return { ...like, startDate: isoDate(from), ...Object.fromEntries(made) };
};

/** The days from `from` to `to` that a series has; null where it knows no temperature of any of them. */
export const cut = (weather: DailyWeather, from: DayNumber, to: DayNumber): DailyWeather | null => {
  const has = spanOf(weather);
  const first = Math.max(from, has.from);
  const last = Math.min(to, has.to);
  if (first > last) return null;
  const part = remade(weather, first, (name) => (weather[name] ?? []).slice(first - has.from, last - has.from + 1));
  return part.tempMaxC.some((value) => value !== null) || part.tempMinC.some((value) => value !== null) ? part : null;
};

/**
 * What is known after a new answer: its days, and the observed days before and after it that an earlier answer gave.
 * Earlier forecasts are forgotten.
 */
export const joined = (earlier: DailyWeather, later: DailyWeather): DailyWeather => {
  const was = spanOf(earlier);
  const is = spanOf(later);
  const wasObservedTo =
    earlier.forecastFrom === undefined ? was.to : Math.min(was.to, dayNumber(earlier.forecastFrom) - 1);
  const from = wasObservedTo >= was.from ? Math.min(was.from, is.from) : is.from;
  const to = later.forecastFrom === undefined ? Math.max(wasObservedTo, is.to) : is.to;
  return remade(later, from, (name) => {
    const values = Array<number | null>(to - from + 1).fill(null);
    const put = (column: Column, start: DayNumber, last: DayNumber): void => {
      for (let day = start; day <= last; day++) values[day - from] = column[day - start] ?? null;
    };
    put(earlier[name] ?? [], was.from, Math.min(wasObservedTo, to));
    put(later[name] ?? [], is.from, is.to);
    return values;
  });
};

/** A column in our own unit. @throws Failure 'source-malformed' where the reply names a unit that is not known */
export const inOurUnit = (id: string, quantity: Quantity, unit: string, values: Column): (number | null)[] => {
  const known = unitOf(quantity, unit);
  if (known === undefined) throw malformed(id, `unit of ${quantity}`, unit, 'a known unit');
  return values.map((value) => (value === null ? null : known.toOurs(value)));
};

/**
 * The series, once it can be weather. A day that is colder at its warmest than at its coldest loses both temperatures.
 * @throws Failure 'source-malformed' for values beyond physical limits or too many crossed days
 */
export const sound = (id: string, weather: DailyWeather): DailyWeather => {
  const isCrossed = weather.tempMaxC.map((max, i) => {
    const min = weather.tempMinC[i] ?? null;
    return max !== null && min !== null && min - max > MOST_CROSSED_C;
  });
  const crossed = isCrossed.filter(Boolean).length;
  if (crossed > Math.max(1, MOST_CROSSED_SHARE * isCrossed.length))
    throw malformed(id, '', `${crossed} days with the lowest temperature above the highest`, 'hardly any');
  const uncrossed = {
    ...weather,
    tempMaxC: weather.tempMaxC.map((value, i) => (isCrossed[i] ? null : value)),
    tempMinC: weather.tempMinC.map((value, i) => (isCrossed[i] ? null : value)),
  };
  // The crossed values themselves have to be weather, too.
  const problem = [weather, uncrossed]
    .flatMap((series) => limitProblems(series))
    .find(({ code }) => code !== 'weather-crossed');
  if (problem !== undefined) throw malformed(id, problem.where, problem.given, problem.allowed);
  return uncrossed;
};
