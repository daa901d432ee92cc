import { dayNumber, dayOfYear } from '../base/day.ts';
import type { Problem } from '../base/errors.ts';
import { FAHRENHEIT_ADVICE, WARMEST_C } from './qualityLimits.ts';
import type { DailyWeather } from './schema.ts';
import { coldestDay, zonalMeanC, zonalSdC } from './zonal.ts';

/** A day counts as too warm this many standard deviations above its latitude and season. */
const MOST_SD = 5;
/** This share of too warm days and more is no weather. */
const LEAST_SHARE = 0.2;

/** Warmer than this is too warm, C. At its lowest on the coldest day of the year, as the mean falls faster than the scatter grows. */
const tooWarmC = (latitudeDeg: number, dayOfYear: number): number =>
  zonalMeanC(latitudeDeg, dayOfYear) + MOST_SD * zonalSdC(latitudeDeg, dayOfYear);

/**
 * A series of degrees Fahrenheit sent as Celsius: a fifth of its days or more lie five standard deviations above what the
 * latitude has at that time of the year. Catches what stays under the limit of 60 C, such as a cool spring; a day beyond
 * the limit is told by itself.
 */
export const fahrenheitProblems = (weather: DailyWeather, latitudeDeg: number): Problem[] => {
  const start = dayNumber(weather.startDate);
  const leastTooWarm = tooWarmC(latitudeDeg, coldestDay(latitudeDeg));
  let known = 0;
  let tooWarm = 0;
  for (let i = 0; i < weather.tempMaxC.length; i++) {
    const max = weather.tempMaxC[i] ?? null;
    const min = weather.tempMinC[i] ?? null;
    if (max === null || min === null || max > WARMEST_C || min > WARMEST_C) continue;
    known++;
    const mean = (max + min) / 2;
    if (mean > leastTooWarm && mean > tooWarmC(latitudeDeg, dayOfYear(start + i))) tooWarm++;
  }
  if (known === 0 || tooWarm < LEAST_SHARE * known) return [];
  return [
    {
      code: 'weather-fahrenheit',
      where: 'weather.tempMaxC and weather.tempMinC',
      given: `${tooWarm} of ${known} days far warmer than latitude ${latitudeDeg} ever has at that time of the year`,
      allowed: `less than ${100 * LEAST_SHARE} % of such days`,
      advice: FAHRENHEIT_ADVICE,
    },
  ];
};
