import { type DayNumber, dayNumber, isoDate } from '../base/day.ts';
import type { Problem } from '../base/errors.ts';
import { observedDays } from './columns.ts';
import type { WeatherFinding } from './finding.ts';
import type { DailyWeather } from './schema.ts';

const FIRST = '1900-01-01';
const LAST = '2100-12-31';
const FIRST_DAY = dayNumber(FIRST);
const LAST_DAY = dayNumber(LAST);
/** A forecast older than this is said to be old, days. */
const FRESH_DAYS = 2;

/** Dates that cannot be: years out of range, a forecast that starts before the weather, "observed" days of the future. */
export const dateProblems = (weather: DailyWeather, today: DayNumber | undefined): Problem[] => {
  const problems: Problem[] = [];
  const add = (where: string, given: string, allowed: string, advice: string) =>
    problems.push({ code: 'weather-date', where, given, allowed, advice });
  const start = dayNumber(weather.startDate);
  const end = start + weather.tempMaxC.length - 1;
  // Written so that a date that is none (NaN) counts as outside.
  if (!(start >= FIRST_DAY && end <= LAST_DAY))
    add('weather.startDate', weather.startDate, `days from ${FIRST} to ${LAST}`, 'Check the year');
  else if (weather.forecastFrom !== undefined && dayNumber(weather.forecastFrom) < start)
    add(
      'weather.forecastFrom',
      weather.forecastFrom,
      `${weather.startDate} or later`,
      'Start and end may be exchanged',
    );
  const lastObserved = start + observedDays(weather) - 1;
  if (today !== undefined && lastObserved > today)
    add(
      'weather',
      `observed days up to ${isoDate(lastObserved)}`,
      `observed days up to today, ${isoDate(today)}`,
      today < start
        ? `Today, ${isoDate(today)}, lies before the first day of the weather, ${weather.startDate}: correct one of the two`
        : 'Give forecastFrom, the first day that is a forecast, or correct the dates',
    );
  return problems;
};

/** Says when the forecast begins more than two days ago. */
export const forecastAge = (weather: DailyWeather, today: DayNumber | undefined): WeatherFinding[] => {
  if (today === undefined || weather.forecastFrom === undefined) return [];
  const from = dayNumber(weather.forecastFrom);
  const age = today - from;
  if (age <= FRESH_DAYS) return [];
  return [{ code: 'forecast-old', severity: 'warning', from, to: today, column: null, given: age, limit: FRESH_DAYS }];
};
