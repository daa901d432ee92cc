import { dayNumber, isoDate } from '../core/base/day.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { csvText } from './csv.ts';

/** Daily weather as CSV that the reader of weather files takes back. */
export const weatherCsv = ({ startDate, tempMaxC, tempMinC, rainMm }: DailyWeather): string => {
  const start = dayNumber(startDate);
  return csvText(
    tempMaxC.map((max, i) => ({
      date: isoDate(start + i),
      tmax_c: max,
      tmin_c: tempMinC[i] ?? null,
      rain_mm: rainMm[i] ?? null,
    })),
  );
};
