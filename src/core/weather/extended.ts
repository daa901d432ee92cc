import { normal } from './normals.ts';
import { dayOrigins } from './schema.ts';
import type { WeatherDays } from './series.ts';

const CLIMATOLOGY = dayOrigins.indexOf('climatology');
const FORECAST = dayOrigins.indexOf('forecast');

/**
 * The series with `days` more at its end that hold what is usual then, marked as climatology: for what is under way on the
 * last known day and ends after it. Only measured and forecast days make the usual.
 * @param days 0 or more
 */
export const extended = (series: WeatherDays, days: number): WeatherDays => {
  const total = series.days + days;
  const known = (values: Float64Array) =>
    Array.from(values, (value, i) => ((series.origin[i] as number) <= FORECAST ? value : null));
  const usual = (values: Float64Array): Float64Array => {
    const column = known(values);
    return longer(values, total, (i) => normal(column, series.startDay, series.startDay + i));
  };
  const unknown = (values: Float64Array): Float64Array => longer(values, total, () => Number.NaN);
  const origin = new Uint8Array(total).fill(CLIMATOLOGY);
  origin.set(series.origin);
  return {
    startDay: series.startDay,
    days: total,
    tempMaxC: usual(series.tempMaxC),
    tempMinC: usual(series.tempMinC),
    rainMm: usual(series.rainMm),
    solarMjPerM2: unknown(series.solarMjPerM2),
    windMPerS: unknown(series.windMPerS),
    humidityFrac: unknown(series.humidityFrac),
    origin,
  };
};

const longer = (values: Float64Array, total: number, valueAt: (index: number) => number): Float64Array => {
  const result = new Float64Array(total);
  result.set(values);
  for (let i = values.length; i < total; i++) result[i] = valueAt(i);
  return result;
};
