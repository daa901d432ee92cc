import { type DayNumber, dayNumber } from '../base/day.ts';
import type { DailyWeather } from './schema.ts';

/** A value a day, null where it is missing. */
export type Column = readonly (number | null)[];

/** The columns without which no day can be computed. */
export const neededColumns = ['tempMaxC', 'tempMinC', 'rainMm'] as const;
export type NeededColumn = (typeof neededColumns)[number];

/** The columns that make a day better known where they were measured. */
export const optionalColumns = ['solarMjPerM2', 'windMPerS', 'humidityFrac'] as const;
export type OptionalColumn = (typeof optionalColumns)[number];

/** Index of the first forecast day; the length of the series when all of it is observed. */
export const observedDays = (weather: DailyWeather): number => {
  const length = weather.tempMaxC.length;
  if (weather.forecastFrom === undefined) return length;
  const index: DayNumber = dayNumber(weather.forecastFrom) - dayNumber(weather.startDate);
  return Math.max(0, Math.min(length, index));
};
