import { dayNumber, dayOfYear } from '../../../src/core/base/day.ts';
import type { SoilPass } from '../../../src/core/soil/days.ts';
import type { Soil, TextureClass } from '../../../src/core/soil/schema.ts';
import { soilDays } from '../../../src/core/soil/soil.ts';
import type { Site } from '../../../src/core/weather/schema.ts';
import type { WeatherDays } from '../../../src/core/weather/series.ts';

export const siteAt = (latitudeDeg: number): Site => ({
  latitudeDeg,
  longitudeDeg: -93,
  elevationM: 300,
  timeZone: 'UTC',
});

export const ground = (texture: TextureClass, rest: Partial<Soil> = {}): Soil => ({
  texture,
  organicMatterFrac: 0.025,
  drainage: 'moderate',
  residueCoverFrac: 0,
  slopeFrac: 0,
  ...rest,
});

export type MadeDay = { readonly max: number; readonly min: number; readonly rain: number };

/** A series from a rule for each day. Nothing but temperature and rain was measured. */
export const madeWeather = (startDate: string, days: number, day: (i: number) => MadeDay): WeatherDays => {
  const made = Array.from({ length: days }, (_, i) => day(i));
  const unmeasured = () => new Float64Array(days).fill(Number.NaN);
  return {
    startDay: dayNumber(startDate),
    days,
    tempMaxC: Float64Array.from(made, ({ max }) => max),
    tempMinC: Float64Array.from(made, ({ min }) => min),
    rainMm: Float64Array.from(made, ({ rain }) => rain),
    solarMjPerM2: unmeasured(),
    windMPerS: unmeasured(),
    humidityFrac: unmeasured(),
    origin: new Uint8Array(days),
    rainFilled: new Uint8Array(days),
  };
};

/** Numbers 0 to 1, the same for a seed: Numerical Recipes' linear congruential generator. */
export const numbers = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

/** An invented year of a place: warmest in late July of the north, spells of a few days, showers on three days of ten. */
export const showeryWeather = (
  startDate: string,
  days: number,
  { seed = 1, meanC = 10, swingC = 14, southern = false } = {},
): WeatherDays => {
  const next = numbers(seed);
  const start = dayNumber(startDate);
  let spell = 0;
  return madeWeather(startDate, days, (i) => {
    spell = 0.7 * spell + 6 * (next() - 0.5);
    const phase = (2 * Math.PI * (dayOfYear(start + i) - 204 + (southern ? 182.5 : 0))) / 365.25;
    const mean = meanC + swingC * Math.cos(phase) + spell;
    const half = 3 + 5 * next();
    const rain = next() < 0.3 ? 25 * next() ** 3 : 0;
    return { max: mean + half, min: mean - half, rain };
  });
};

/** A soil from a made series, at 42 degrees on silt loam unless said. */
export const soilOf = (
  weather: WeatherDays,
  { latitudeDeg = 42, soil = ground('silt-loam') as Soil, coverFrac = 0, passes = [] as readonly SoilPass[] } = {},
) => soilDays(weather, siteAt(latitudeDeg), soil, new Float64Array(weather.days).fill(coverFrac), passes);

export const meanOf = (values: ArrayLike<number>, from = 0, to = values.length): number => {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i] as number;
  return sum / (to - from);
};
