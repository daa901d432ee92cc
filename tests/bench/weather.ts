import type { Site } from '../../src/core/weather/schema.ts';
import type { WeatherDays } from '../../src/core/weather/series.ts';

/** Where the invented weather lies. */
export const benchSite: Site = { latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300, timeZone: 'America/Chicago' };

/** Numbers 0 to 1, the same on every run: Numerical Recipes' linear congruential generator. */
const numbers = (seed: number) => {
  let state = seed >>> 0;
  return (): number => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

/** Invented weather of a continental place: a yearly wave with noise, and rain on three days of ten. */
export const benchWeather = (startDay: number, days: number): WeatherDays => {
  const next = numbers(7);
  const column = (value: (i: number) => number) => Float64Array.from({ length: days }, (_, i) => value(i));
  const notMeasured = () => new Float64Array(days).fill(Number.NaN);
  const mean = column((i) => 10 - 15 * Math.cos((2 * Math.PI * (i - 20)) / 365.25) + 8 * (next() - 0.5));
  const half = column(() => 3 + 6 * next());
  return {
    startDay,
    days,
    tempMaxC: mean.map((c, i) => c + (half[i] as number)),
    tempMinC: mean.map((c, i) => c - (half[i] as number)),
    rainMm: column(() => (next() < 0.3 ? 14 * next() ** 2 : 0)),
    solarMjPerM2: notMeasured(),
    windMPerS: notMeasured(),
    humidityFrac: notMeasured(),
    origin: new Uint8Array(days),
    rainFilled: new Uint8Array(days),
  };
};
