import type { WeatherDays } from './series.ts';

/** Hour of the highest temperature, local solar time: 1.86 h after noon. Calibrated on observed soil temperature. */
export const WARMEST_HOUR = 13.86;

/**
 * Fills 24 air temperatures, each for the middle of its hour: cosine arcs from yesterday's highest to the lowest at
 * sunrise, up to the highest at `WARMEST_HOUR`, and down towards tomorrow's lowest.
 * Default of judgement; the arc form is common practice.
 * @param out 24 values from `at` on, C, written in place so that a year allocates nothing
 * @param sunriseHour local solar time, 0 to 12
 */
export const airTemperatures = (
  out: Float64Array,
  at: number,
  previousMaxC: number,
  minC: number,
  maxC: number,
  nextMinC: number,
  sunriseHour: number,
): void => {
  const night = 24 - WARMEST_HOUR + sunriseHour;
  const rise = WARMEST_HOUR - sunriseHour;
  for (let h = 0; h < 24; h++) {
    const hour = h + 0.5;
    if (hour < sunriseHour) out[at + h] = arc(previousMaxC, minC, (hour + 24 - WARMEST_HOUR) / night);
    else if (hour < WARMEST_HOUR) out[at + h] = arc(minC, maxC, (hour - sunriseHour) / rise);
    else out[at + h] = arc(maxC, nextMinC, (hour - WARMEST_HOUR) / night);
  }
};

const arc = (from: number, to: number, part: number): number =>
  from + ((to - from) * (1 - Math.cos(Math.PI * part))) / 2;

/** `airTemperatures` of every day, 24 a day; the first and the last day are their own neighbours. @param sunriseHour a value a day */
export const airHours = ({ days, tempMaxC, tempMinC }: WeatherDays, sunriseHour: Float64Array): Float64Array => {
  const out = new Float64Array(24 * days);
  for (let i = 0; i < days; i++) {
    const before = i > 0 ? i - 1 : 0;
    const after = i + 1 < days ? i + 1 : i;
    airTemperatures(out, 24 * i, tempMaxC[before], tempMinC[i], tempMaxC[i], tempMinC[after], sunriseHour[i]);
  }
  return out;
};

/** Cosine of the sun's hour angle in the middle of each hour, counted from midnight. */
const hourCosines = Float64Array.from({ length: 24 }, (_, h) => Math.cos((Math.PI * (h + 0.5)) / 12));

/**
 * 24 shares of each day's radiation, in proportion to the sine of the sun's height; they add up to 1, or to 0 in polar
 * night.
 * @param declinationRad a value a day
 */
export const sunHours = (latitudeDeg: number, declinationRad: Float64Array): Float64Array => {
  const out = new Float64Array(24 * declinationRad.length);
  const phi = (latitudeDeg * Math.PI) / 180;
  for (let i = 0; i < declinationRad.length; i++) {
    const a = Math.sin(phi) * Math.sin(declinationRad[i]);
    const b = Math.cos(phi) * Math.cos(declinationRad[i]);
    let sum = 0;
    for (let h = 0; h < 24; h++) {
      const height = Math.max(0, a - b * hourCosines[h]);
      out[24 * i + h] = height;
      sum += height;
    }
    if (sum > 0) for (let h = 24 * i; h < 24 * i + 24; h++) out[h] /= sum;
  }
  return out;
};
