import { type DayNumber, dayNumber } from '../base/day.ts';
import type { Column } from '../base/quantity.ts';
import type { DailyWeather } from './schema.ts';

export type { Column };

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

/** A column for the loops: NaN where a value is missing. A plain loop: `from` with a function takes ten times as long. */
export const columnDays = (column: Column | undefined, days: number): Float64Array => {
  const out = new Float64Array(days);
  for (let i = 0; i < days; i++) out[i] = column?.[i] ?? Number.NaN;
  return out;
};
