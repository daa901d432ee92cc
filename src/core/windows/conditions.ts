import type { SoilDays } from '../soil/days.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { PassConditions } from '../weeds/days.ts';
import { wettestM3PerM3 } from './wettest.ts';

/**
 * Top 2.5 cm above this share of field capacity no longer falls off the roots; wetter sand does, as it does not smear. Default:
 * Devine & O'Geen take 0.9.
 */
const WET_SURFACE_OF_FIELD_CAPACITY = 0.9;

/** Soil columns hold the evening; a pass meets what the evening before left. The first day has only its own. */
export const morningIndex = (index: number): number => (index > 0 ? index - 1 : 0);

const rainOn = (weather: WeatherDays, index: number): number => (index < weather.days ? weather.rainMm[index] : 0);

/**
 * The state of the field at a pass on day `index`, as far as it changes the kill. Rain beyond the weather counts as none.
 * @param soil,weather the same days
 * @param dryingFactor of that day, as `dryingOn` tells it
 */
export const passConditions = (
  weather: WeatherDays,
  soil: SoilDays,
  constants: SoilConstants,
  residueCoverFrac: number,
  index: number,
  dryingFactor: number,
): PassConditions => {
  const morning = morningIndex(index);
  return {
    wetBefore: soil.waterM3PerM3[0][morning] > wettestM3PerM3(constants, WET_SURFACE_OF_FIELD_CAPACITY),
    // At what hour it rains on the day itself nobody knows: before the pass it wets the ground, after it the weeds.
    rainWithinDayMm: Math.max(rainOn(weather, index), rainOn(weather, index + 1)),
    rainSecondDayMm: rainOn(weather, index + 2),
    residueCoverFrac,
    crusted: soil.crusted[morning] === 1,
    dryingFactor,
  };
};
