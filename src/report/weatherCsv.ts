import { dayNumber, isoDate } from '../core/base/day.ts';
import { sixDigitsOrNull } from '../core/base/numbers.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { csvInUnits, csvText } from './csv.ts';

const rows = ({ startDate, tempMaxC, tempMinC, rainMm }: DailyWeather) =>
  tempMaxC.map((max, i) => ({
    date: isoDate(dayNumber(startDate) + i),
    tempMaxC: max,
    tempMinC: tempMinC[i],
    rainMm: rainMm[i],
  }));

/** Daily weather as CSV that the reader of weather files takes back. */
export const weatherCsv = (weather: DailyWeather): string =>
  csvText(
    rows(weather).map(({ date, tempMaxC, tempMinC, rainMm }) => ({
      date,
      tmax_c: sixDigitsOrNull(tempMaxC),
      tmin_c: sixDigitsOrNull(tempMinC),
      rain_mm: sixDigitsOrNull(rainMm),
    })),
  );

/** The same in Fahrenheit and inches, taken back as well. */
export const usWeatherCsv = (weather: DailyWeather): string =>
  csvInUnits(rows(weather), ['date', 'tempMaxC', 'tempMinC', 'rainMm'], 'us');
