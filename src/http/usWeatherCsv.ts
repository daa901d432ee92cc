import { dayNumber, isoDate } from '../core/base/day.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { csvInUnits } from '../report/csv.ts';

const columns = ['date', 'tempMaxC', 'tempMinC', 'rainMm'] as const;

/** Daily weather in Fahrenheit and inches as CSV, which the reader of weather files takes back as it does the metric one. */
export const usWeatherCsv = ({ startDate, tempMaxC, tempMinC, rainMm }: DailyWeather): string => {
  const start = dayNumber(startDate);
  const days = tempMaxC.map((max, i) => ({
    date: isoDate(start + i),
    tempMaxC: max,
    tempMinC: tempMinC[i],
    rainMm: rainMm[i],
  }));
  return csvInUnits(days, columns, 'us');
};
