import { dayOfYear } from '../base/day.ts';
import type { WeatherDays } from '../weather/series.ts';
import { NODES, nodeDepthsM } from './layers.ts';

/** Damping depth of the yearly wave, m: sqrt(2 k / w) with k 0.6 mm2/s (Campbell & Norman 1998). */
const YEARLY_DAMPING_M = 2.45;
const YEAR = 365.25;
/** So many days of a series are a year. */
const LEAST_YEAR = 350;

/** The yearly wave of the air: its mean and half its range, C. */
type Wave = { readonly meanC: number; readonly amplitudeC: number };

/** What is usual at a latitude, inland. Default of judgement. */
const waveOfLatitude = (latitudeDeg: number): Wave => {
  const phi = Math.abs(latitudeDeg);
  return { meanC: 27 - 0.0085 * phi ** 2 - 0.05 * phi, amplitudeC: Math.min(18, 0.33 * phi) };
};

/**
 * How far mean and half range of a place may lie from those of its latitude, and a day from the wave of its place, C: near an
 * ocean the winter is 15 C milder. A day counts little, as days in a row are alike. Defaults of judgement.
 */
const PLACE_OFF_C = 5;
const DAY_OFF_C = 11;

/** So many first days tell how far the place is from its latitude: more would move every date with each day that comes. */
const FIRST_DAYS = 30;

/**
 * How many days of a series the first profile rests on beside latitude: a year, or its first month; none where it is shorter.
 * @example profileDays(400) // 365
 * @example profileDays(100) // 30
 */
export const profileDays = (days: number): number =>
  days >= LEAST_YEAR ? Math.min(days, 365) : days >= FIRST_DAYS ? FIRST_DAYS : 0;

/** Phase of the yearly wave on a day, 0 when it is coldest. */
const phaseOn = (day: number, latitudeDeg: number): number =>
  (2 * Math.PI * (dayOfYear(day) - (latitudeDeg >= 0 ? 20 : 202))) / YEAR;

/**
 * The wave between what is usual at the latitude and the first days of a series, each by how sure it is (least squares of
 * both). Days of winter and spring tell a coast from a plain, which latitude cannot.
 */
const waveOfDays = (weather: WeatherDays, latitudeDeg: number, days: number): Wave => {
  const usual = waveOfLatitude(latitudeDeg);
  const prior = (DAY_OFF_C / PLACE_OFF_C) ** 2;
  let [cosines, squares, off, offCosines] = [0, 0, 0, 0];
  for (let i = 0; i < days; i++) {
    const cosine = Math.cos(phaseOn(weather.startDay + i, latitudeDeg));
    const air = (weather.tempMaxC[i] + weather.tempMinC[i]) / 2;
    const above = air - (usual.meanC - usual.amplitudeC * cosine);
    cosines += cosine;
    squares += cosine ** 2;
    off += above;
    offCosines += above * cosine;
  }
  const determinant = (days + prior) * (squares + prior) - cosines ** 2;
  const meanOff = ((squares + prior) * off - cosines * offCosines) / determinant;
  const amplitudeOff = (cosines * off - (days + prior) * offCosines) / determinant;
  return { meanC: usual.meanC + meanOff, amplitudeC: Math.max(0, usual.amplitudeC + amplitudeOff) };
};

/**
 * Soil temperature of every node on the first day: the yearly wave, damped and late with depth. Its mean and range come
 * from the series when it holds a year, else from its first days and latitude; its level at the surface from the first week.
 * Source: the damped wave, Campbell & Norman 1998.
 */
export const firstProfile = (weather: WeatherDays, latitudeDeg: number): Float64Array => {
  const days = profileDays(weather.days);
  const { meanC, amplitudeC } =
    weather.days >= LEAST_YEAR
      ? { meanC: airMean(weather, days), amplitudeC: yearlyAmplitude(weather) }
      : waveOfDays(weather, latitudeDeg, days);
  const surface = Math.max(0, airMean(weather, Math.min(7, weather.days)));
  const phase = phaseOn(weather.startDay, latitudeDeg);
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
