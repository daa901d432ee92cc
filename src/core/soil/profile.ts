import { dayOfYear } from '../base/day.ts';
import type { WeatherDays } from '../weather/series.ts';
import { NODES, nodeDepthsM } from './layers.ts';

/** Damping depth of the yearly wave, m: sqrt(2 k / w) with k 0.6 mm2/s (Campbell & Norman 1998). */
const YEARLY_DAMPING_M = 2.45;
const YEAR = 365.25;

/** Mean of the yearly wave by latitude and half its range, C, for a series shorter than a year. Default of judgement. */
const wave = (latitudeDeg: number): { meanC: number; amplitudeC: number } => {
  const phi = Math.abs(latitudeDeg);
  return { meanC: 27 - 0.0085 * phi ** 2 - 0.05 * phi, amplitudeC: Math.min(18, 0.33 * phi) };
};

/**
 * How many days of a series the first profile rests on; none where they are too few for a year, and latitude stands in.
 * @example profileDays(400) // 365
 */
export const profileDays = (days: number): number => (days >= 350 ? Math.min(days, 365) : 0);

/**
 * Soil temperature of every node on the first day: the yearly wave, damped and late with depth. Its mean and range come
 * from the series when it holds a year, else from latitude; its level at the surface from the first week.
 * Source: the damped wave, Campbell & Norman 1998.
 */
export const firstProfile = (weather: WeatherDays, latitudeDeg: number): Float64Array => {
  const year = profileDays(weather.days);
  const { meanC, amplitudeC } =
    year > 0 ? { meanC: airMean(weather, year), amplitudeC: yearlyAmplitude(weather) } : wave(latitudeDeg);
  const surface = Math.max(0, airMean(weather, Math.min(7, weather.days)));
  const coldest = latitudeDeg >= 0 ? 20 : 202;
  const phase = (2 * Math.PI * (dayOfYear(weather.startDay) - coldest)) / YEAR;
  const waveAt = (depth: number) =>
    Math.max(0.5, meanC) -
    amplitudeC * Math.exp(-depth / YEARLY_DAMPING_M) * Math.cos(phase - depth / YEARLY_DAMPING_M);
  const offset = surface - waveAt(0);
  return Float64Array.from({ length: NODES }, (_, i) => {
    const depth = nodeDepthsM[i] as number;
    // The first week's weather reaches a few decimetres down.
    return waveAt(depth) + offset * Math.exp(-depth / 0.3);
  });
};

/** Mean of the first `days`. */
const airMean = ({ tempMaxC, tempMinC }: WeatherDays, days: number): number => {
  let sum = 0;
  for (let d = 0; d < days; d++) sum += (tempMaxC[d] + tempMinC[d]) / 2;
  return sum / days;
};

const yearlyAmplitude = (weather: WeatherDays): number => {
  let cosine = 0;
  let sine = 0;
  for (let d = 0; d < 365 && d < weather.days; d++) {
    const mean = (weather.tempMaxC[d] + weather.tempMinC[d]) / 2;
    cosine += mean * Math.cos((2 * Math.PI * d) / 365);
    sine += mean * Math.sin((2 * Math.PI * d) / 365);
  }
  return (2 / 365) * Math.hypot(cosine, sine);
};
