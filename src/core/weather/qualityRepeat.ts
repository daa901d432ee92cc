import { dayNumber, isoDate, yearOf } from '../base/day.ts';
import type { WeatherFinding } from './finding.ts';
import type { DailyWeather } from './schema.ts';

/** Days of a month that are compared; every month has them. */
const DAYS = 28;

const monthStarts = (startDate: string, length: number): number[] => {
  const start = dayNumber(startDate);
  return Array.from({ length }, (_, i) => i).filter((i) => isoDate(start + i).endsWith('-01') && i + DAYS <= length);
};

/** Months whose 28 first days all repeat those of the same month of an earlier year, which weather never does. */
export const repeatFindings = (weather: DailyWeather): WeatherFinding[] => {
  const start = dayNumber(weather.startDate);
  const seen = new Map<string, number>();
  const findings: WeatherFinding[] = [];
  for (const i of monthStarts(weather.startDate, weather.tempMaxC.length)) {
    const values = [weather.tempMaxC, weather.tempMinC, weather.rainMm].map((column) => column.slice(i, i + DAYS));
    if (values.some((column) => column.includes(null))) continue;
    const key = `${isoDate(start + i).slice(5, 7)}:${values.join(';')}`;
    const earlier = seen.get(key);
    if (earlier === undefined) seen.set(key, i);
    else
      findings.push({
        code: 'repeated-month',
        severity: 'warning',
        from: start + i,
        to: start + i + DAYS - 1,
        column: null,
        given: yearOf(start + earlier),
        limit: null,
      });
  }
  return findings;
};
