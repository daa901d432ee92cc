import { dayNumber, isoDate } from '../core/base/day.ts';
import { rounded } from '../core/base/numbers.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { csvText } from './csv.ts';

/** More than any instrument has; 33.4 F is 0.777778 C. */
const DIGITS = 6;

const cell = (value: number | null | undefined): number | null =>
  value === null || value === undefined ? null : rounded(value, DIGITS);

/** Daily weather as CSV that the reader of weather files takes back. */
export const weatherCsv = ({ startDate, tempMaxC, tempMinC, rainMm }: DailyWeather): string => {
  const start = dayNumber(startDate);
  return csvText(
    tempMaxC.map((max, i) => ({
      date: isoDate(start + i),
      tmax_c: cell(max),
      tmin_c: cell(tempMinC[i]),
      rain_mm: cell(rainMm[i]),
    })),
  );
};
