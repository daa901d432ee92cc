import { interpolated } from '../base/numbers.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import { noSky, readSky, type Sky } from './hours.ts';
import { sunDays } from './sun.ts';

/** Solar hours that dry uprooted weeds, and the deficit below which they do not, kPa. */
const FROM_HOUR = 10;
const TO_HOUR = 20;
const IDLE_KPA = 0.3;

/** One day's drying power, kPa h: the sum of max(0, deficit - 0.3) from 10:00 to 20:00 solar time. @param deficitKPa 24 hours */
export const dryingKPaH = (deficitKPa: Float64Array): number => {
  let sum = 0;
  for (let h = FROM_HOUR; h < TO_HOUR; h++) sum += Math.max(0, deficitKPa[h] - IDLE_KPA);
  return sum;
};

/**
 * What the drying of the day and the next leaves of the kill by uprooting: 0.5 poor, 0.8 fair, 1 good, drawn as a line
 * between the middles of the classes below 4, 4 to 10 and above 10 kPa h. Default of judgement: that moisture decides
 * is published (Kurstjens & Kropff 2001), a curve over hours of drying is not.
 */
export const dryingFactor = (twoDaysKPaH: number): number =>
  interpolated(
    [
      [2, 0.5],
      [7, 0.8],
      [12, 1],
    ],
    twoDaysKPaH,
  );

/** The same of two days that were read. */
export const skiesFactor = (sky: Sky, next: Sky): number =>
  dryingFactor(dryingKPaH(sky.deficitKPa) + dryingKPaH(next.deficitKPa));

/** The same of the day `index` of a series. The last day dries like itself once more. */
export const dryingOn = (site: Site, weather: WeatherDays, index: number): number => {
  const suns = sunDays(site, weather.startDay + index, 2);
  const skies = suns.map((sun, ahead) => {
    const sky = noSky();
    readSky(sky, sun, weather, Math.min(index + ahead, weather.days - 1));
    return sky;
  });
  return skiesFactor(skies[0], skies[1]);
};
