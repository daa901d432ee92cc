import type { AtmosphereDays } from './atmosphere.ts';
import { conductivities, heatCapacities } from './conductivity.ts';
import type { SoilDays } from './days.ts';
import type { Ground } from './ground.ts';
import { factorDay, heatHour } from './heat.ts';
import { LAYERS, layerBottomsCm, layerNodes } from './layers.ts';
import { settleSnow } from './snow.ts';
import { LATENT_MJ_PER_MM } from './surface.ts';

/** W/m2 in one hour for each MJ/m2 in it. */
const W_PER_MJ_HOUR = 1e6 / 3600;

/** Conductivity and heat capacity of every layer as the day's water and the last pass leave them. */
const setLayers = (ground: Ground): void => {
  const { content, freezable, iceFrac, lambda, capacity, thermal, heat, parameters } = ground;
  for (let k = 0; k < LAYERS; k++) {
    // Water that is held tighter than at the wilting point, -1.5 MPa, freezes below -1.2 C only: it is taken to stay liquid.
    freezable[k] = Math.max(0, content[k] - ground.constants.wiltingPoint);
    const node = layerNodes[k];
    iceFrac[k] = heat.iceWh[node] > 0 ? Math.min(1, heat.iceWh[node] / heat.mostIceWh[node]) : 0;
  }
  conductivities(lambda, thermal, content, iceFrac);
  heatCapacities(capacity, thermal, content);
  const { conductivityFactor } = parameters.heat;
  const stirred = 1 - parameters.pass.conductivityLossFrac * ground.looseFrac;
  for (let k = 0; k < LAYERS; k++) {
    const loosened = k === 0 || ground.looseDepthCm >= layerBottomsCm[k];
    lambda[k] *= conductivityFactor * (loosened ? stirred : 1);
  }
};

/** How closely the surface is tied to the air, and what it takes up hour by hour. */
const setSurface = (ground: Ground, sky: AtmosphereDays, i: number): void => {
  const { water, heat, snow } = ground;
  const p = ground.parameters.heat;
  const cover = ground.coverFrac;
  settleSnow(snow, water.snowMm, ground.parameters.snow);
  const exposure = (1 - snow.coverFrac) * (1 - cover + p.exposureUnderCover * cover);
  const absorbedMj = exposure * (1 - p.albedoDry + p.albedoWetDrop * ground.topWetness) * sky.solarMj[i];
  const longwaveW = exposure * sky.longwaveW[i];
  const gainMj = absorbedMj + (longwaveW * 86400) / 1e6;
  // Evaporation takes no more heat than radiation can feed: Priestley & Taylor 1972.
  const limitMm = Math.max(0, p.priestleyTaylor * sky.evaporableFrac[i] * (gainMj / LATENT_MJ_PER_MM));
  const netMj = absorbedMj - LATENT_MJ_PER_MM * Math.min(p.latentShare * water.evaporationMm, limitMm);
  // Less under cover, and through the snow where it lies.
  const open = sky.openExchange[i] * (1 - p.shelterFrac * cover);
  const exchange = open * (1 - snow.coverFrac) + snow.coverFrac / (1 / open + snow.resistance);
  heat.exchange = exchange;
  for (let h = 0; h < 24; h++)
    heat.gainW[h] = W_PER_MJ_HOUR * netMj * sky.sunFrac[24 * i + h] + longwaveW + exchange * sky.airC[24 * i + h];
};

/** Heat of one day: one matrix, 24 substitutions. Writes the day's temperatures to `out`. */
export const heatDay = (ground: Ground, sky: AtmosphereDays, i: number, out: SoilDays): void => {
  const { heat } = ground;
  setLayers(ground);
  setSurface(ground, sky, i);
  factorDay(heat, ground.lambda, ground.capacity, ground.freezable);
  const t = heat.tempC;
  let sum5 = 0;
  let sum10 = 0;
  let max5 = -100;
  let min5 = 100;
  for (let h = 0; h < 24; h++) {
    heatHour(heat, h);
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
