import { clamp } from '../base/numbers.ts';
import type { WeatherDays } from '../weather/series.ts';
import { type SoilParameters, soilParameters } from './parameters.ts';

/**
 * Cover of permanent grass, a value a day: full while it grows, thin while it lies dormant. Brown, short grass lets the
 * April sun in and the November warmth out; a constant cover leaves the soil 0.6 C cold in one and 1.7 C warm in the other.
 * Calibrated on stations under mown grass with `whitethread score`.
 * @param fullCoverFrac share of the ground shaded in full growth; 0.85 for mown grass
 */
export const sodCoverFrac = (
  fullCoverFrac: number,
  weather: WeatherDays,
  parameters: SoilParameters['sod'] = soilParameters.sod,
): Float64Array => {
  const { dormantFrac, dormantTempC, greenTempC, memoryDays } = parameters;
  const cover = new Float64Array(weather.days);
  let recentC = (weather.tempMaxC[0] + weather.tempMinC[0]) / 2;
  for (let i = 0; i < weather.days; i++) {
    recentC += ((weather.tempMaxC[i] + weather.tempMinC[i]) / 2 - recentC) / memoryDays;
    const green = clamp((recentC - dormantTempC) / (greenTempC - dormantTempC), 0, 1);
    cover[i] = fullCoverFrac * (dormantFrac + (1 - dormantFrac) * green);
  }
  return cover;
};
