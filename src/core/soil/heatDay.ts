import { airTemperatures, sunShares } from '../weather/hours.ts';
import type { WeatherDays } from '../weather/series.ts';
import { conductivity, heatCapacity } from './conductivity.ts';
import type { SoilDays } from './days.ts';
import type { Ground } from './ground.ts';
import { factorDay, heatHour } from './heat.ts';
import { LAYERS, layerBottomsCm } from './layers.ts';
import { airExchangeWPerM2K, LATENT_MJ_PER_MM, radiationLimitMm } from './surface.ts';

/** W/m2 in one hour for each MJ/m2 in it. */
const W_PER_MJ_HOUR = 1e6 / 3600;

/** Conductivity and heat capacity of every layer as the day's water and the last pass leave them. */
const setLayers = (ground: Ground): void => {
  const { content, lambda, capacity, thermal, heat, parameters } = ground;
  const frozen = heat.tempC[2] < -0.5;
  const stirred = 1 - parameters.pass.conductivityLossFrac * ground.looseFrac;
  for (let k = 0; k < LAYERS; k++) {
    const loosened = k === 0 || ground.looseDepthCm >= layerBottomsCm[k];
    lambda[k] =
      parameters.heat.conductivityFactor * (loosened ? stirred : 1) * conductivity(thermal, content[k], frozen);
    capacity[k] = heatCapacity(thermal, content[k]);
  }
};

/** What the surface takes up and how closely it is tied to the air; sets the day's matrix. */
const setSurface = (ground: Ground): void => {
  const { sky, water, surface, heat, parameters } = ground;
  const p = parameters.heat;
  const cover = ground.coverFrac;
  const exposure = water.snowMm > 0 ? 0 : 1 - cover + p.exposureUnderCover * cover;
  const absorbedMj = exposure * (1 - p.albedoDry + p.albedoWetDrop * ground.topWetness) * sky.solarMj;
  surface.longwaveW = exposure * sky.longwaveW;
  const gainMj = absorbedMj + (surface.longwaveW * 86400) / 1e6;
  const limitMm = radiationLimitMm(gainMj, sky.meanC, ground.gamma, p.priestleyTaylor);
  surface.netMj = absorbedMj - LATENT_MJ_PER_MM * Math.min(p.latentShare * water.evaporationMm, limitMm);
  surface.exchange = airExchangeWPerM2K(sky.meanC, sky.windMPerS, cover, water.snowMm, p);
  factorDay(heat, ground.lambda, ground.capacity, ground.content, surface.exchange, p.freezingRangeC);
};

/** The course of the air and of the sun over the day. */
const setHours = ({ sky, air, sun, latitudeRad }: Ground, weather: WeatherDays, i: number): void => {
  const { tempMaxC, tempMinC } = weather;
  const next = Math.min(i + 1, weather.days - 1);
  airTemperatures(air, tempMaxC[i > 0 ? i - 1 : 0], tempMinC[i], tempMaxC[i], tempMinC[next], sky.sunriseHour);
  sunShares(sun, latitudeRad, sky.declination);
};

/** Heat of one day: one matrix, 24 substitutions. Writes the day's temperatures to `out`. */
export const heatDay = (ground: Ground, weather: WeatherDays, i: number, out: SoilDays): void => {
  setLayers(ground);
  setSurface(ground);
  setHours(ground, weather, i);
  const { heat, air, sun, surface } = ground;
  const { netMj, longwaveW, exchange } = surface;
  const t = heat.tempC;
  let sum5 = 0;
  let sum10 = 0;
  let max5 = -100;
  let min5 = 100;
  for (let h = 0; h < 24; h++) {
    heatHour(heat, W_PER_MJ_HOUR * netMj * sun[h] + longwaveW + exchange * air[h]);
    const t5 = t[3];
    out.seedZoneTempC[i * 24 + h] = 0.1 * t[0] + 0.25 * t[1] + 0.4 * t[2] + 0.25 * t5;
    sum5 += t5;
    sum10 += t[5];
    if (t5 > max5) max5 = t5;
    if (t5 < min5) min5 = t5;
  }
  out.temp5MeanC[i] = sum5 / 24;
  out.temp5MaxC[i] = max5;
  out.temp5MinC[i] = min5;
  out.temp10MeanC[i] = sum10 / 24;
  out.frozen[i] = min5 <= 0 ? 1 : 0;
};
