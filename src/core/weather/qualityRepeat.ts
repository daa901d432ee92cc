import { type DayNumber, dayNumber, monthDayIn, yearOf } from '../base/day.ts';
import type { WeatherFinding } from './finding.ts';
import type { DailyWeather } from './schema.ts';

/** Days of a month that are compared; every month has them. */
const DAYS = 28;
const SHORTEST_YEAR = 365;

const months = ['01', '02', '03', '04', '05', '06', '07', '08', '09', '10', '11', '12'] as const;

/** A month whose compared days all lie in the series: which of the year, and the index of its first day. */
type Month = { readonly name: string; readonly at: number };

const wholeMonths = (start: DayNumber, length: number): Month[] => {
  const first = yearOf(start);
  const years = Array.from({ length: yearOf(start + length - 1) - first + 1 }, (_, i) => first + i);
  return years
    .flatMap((year) => months.map((name) => ({ name, at: monthDayIn(year, `${name}-01`) - start })))
    .filter(({ at }) => at >= 0 && at + DAYS <= length);
};

/** Whether the compared days from two indices on are equal in every column; a missing value is equal to nothing. */
const equalDays = (weather: DailyWeather, a: number, b: number): boolean =>
  [weather.tempMaxC, weather.tempMinC, weather.rainMm].every((column) => {
    for (let i = 0; i < DAYS; i++) if (column[a + i] === null || column[a + i] !== column[b + i]) return false;
    return true;
  });

/** Months whose 28 first days all repeat those of the same month of an earlier year, which weather never does. */
export const repeatFindings = (weather: DailyWeather): WeatherFinding[] => {
  const start = dayNumber(weather.startDate);
  const { length } = weather.tempMaxC;
  // In less than this no month comes twice.
  if (length < SHORTEST_YEAR + DAYS) return [];
  const found = wholeMonths(start, length);
  return found.flatMap(({ name, at }) => {
    const earlier = found.find((other) => other.at < at && other.name === name && equalDays(weather, other.at, at));
    if (earlier === undefined) return [];
    return {
      code: 'repeated-month',
      severity: 'warning',
      from: start + at,
      to: start + at + DAYS - 1,
      column: null,
      given: yearOf(start + earlier.at),
      limit: null,
    };
  });
};
