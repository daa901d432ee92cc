import { isoDate } from '../base/day.ts';
import { whitethreadError } from '../base/errors.ts';
import { clamp } from '../base/numbers.ts';
import { airTemperatures, sunShares } from '../weather/hours.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import { atmosphereOf, siteGamma, stillAtmosphere } from './atmosphere.ts';
import { conductivity, heatCapacity, thermalConstants } from './conductivity.ts';
import { crustDay, noCrust, sealingIndex } from './crust.ts';
import { emptySoilDays, type SoilDays, type SoilPass } from './days.ts';
import { factorDay, heatHour, heatState } from './heat.ts';
import { LAYERS, layerBottomsCm, layerThicknessMm } from './layers.ts';
import { type SoilParameters, soilParameters } from './parameters.ts';
import { matricPotentialMPa } from './potential.ts';
import { firstProfile } from './profile.ts';
import type { Soil } from './schema.ts';
import { airExchangeWPerM2K, LATENT_MJ_PER_MM, radiationLimitMm } from './surface.ts';
import { soilConstants } from './texture.ts';
import { layerLimits, storedMm, type WaterForcing, waterDay, wetProfile } from './water.ts';

/** W/m2 in one hour for each MJ/m2 in it. */
const W_PER_MJ_HOUR = 1e6 / 3600;
/** A broken balance is a fault of the program, not of the input. */
const BALANCE_MM = 1e-9;

const nothingWorked: SoilPass = { day: 0, depthCm: 0, groundFrac: 0 };

/**
 * The soil of one field from first to last day of weather: water by layers once a day, heat by nodes every hour, snow,
 * frost and crust. docs/model.md has the equations and their sources.
 * @param cropCoverFrac share of the ground shaded by living plants, a value a day
 * @param passes what stirred the soil; order does not matter
 * @throws WhitethreadError 'balance-broken' when a day's water does not close to 1e-9 mm
 */
export const soilDays = (
  weather: WeatherDays,
  site: Site,
  soil: Soil,
  cropCoverFrac: Float64Array,
  passes: readonly SoilPass[],
  parameters: SoilParameters = soilParameters,
): SoilDays => {
  const constants = soilConstants(soil);
  const thermal = thermalConstants(constants);
  const limits = layerLimits(constants, soil.drainage, parameters);
  const out = emptySoilDays(weather.startDay, weather.days, LAYERS);
  const water = wetProfile(limits);
  const heat = heatState(firstProfile(weather, site.latitudeDeg));
  const sky = stillAtmosphere();
  const gamma = siteGamma(site);
  const crust = noCrust();
  const prone = sealingIndex(constants) <= parameters.crust.mostSealingIndex;
  const worked = passesByDay(passes, weather);
  const air = new Float64Array(24);
  const sun = new Float64Array(24);
  const content = new Float64Array(LAYERS);
  const lambda = new Float64Array(LAYERS);
  const capacity = new Float64Array(LAYERS);
  const waterForcing: WaterForcing = {
    rainMm: 0,
    tempMeanC: 0,
    referenceEvaporationMm: 0,
    cropCoverFrac: 0,
    coverFrac: 0,
    looseFrac: 0,
  };
  const crustForcing = { rainMm: 0, threeDayRainMm: 0, tempMaxC: 0, topWetness: 0, coverFrac: 0, worked: false };
  const latitudeRad = (site.latitudeDeg * Math.PI) / 180;
  const p = parameters.heat;
  let loose = 0;
  let looseDepthCm = 0;

  for (let i = 0; i < weather.days; i++) {
    atmosphereOf(sky, weather, i, site, gamma, parameters.weather);
    const rain = weather.rainMm[i];
    const cover = 1 - (1 - cropCoverFrac[i]) * (1 - soil.residueCoverFrac);
    const pass = worked[i] ?? nothingWorked;
    if (pass.groundFrac > 0) {
      loose = Math.max(loose, pass.groundFrac);
      looseDepthCm = pass.depthCm;
    }

    // Water of the day.
    const before = storedMm(water) + rain;
    waterForcing.rainMm = rain;
    waterForcing.tempMeanC = sky.meanC;
    waterForcing.referenceEvaporationMm = sky.referenceEvaporationMm;
    waterForcing.cropCoverFrac = cropCoverFrac[i];
    waterForcing.coverFrac = cover;
    waterForcing.looseFrac = loose;
    waterDay(water, limits, waterForcing, parameters);
    const explained = storedMm(water) + water.evaporationMm + water.transpirationMm + water.runoffMm + water.drainageMm;
    if (!(Math.abs(before - explained) <= BALANCE_MM)) throw brokenBalance(weather.startDay + i, before - explained);

    // Heat of the day: one matrix, 24 substitutions.
    const snow = water.snowMm > 0;
    const topWetness = clamp((water.layersMm[0] - limits.wilting[0]) / (limits.capacity[0] - limits.wilting[0]), 0, 1);
    for (let k = 0; k < LAYERS; k++) {
      content[k] = water.layersMm[k] / layerThicknessMm[k];
      const stirred =
        k === 0 || looseDepthCm >= layerBottomsCm[k] ? 1 - parameters.pass.conductivityLossFrac * loose : 1;
      lambda[k] = p.conductivityFactor * stirred * conductivity(thermal, content[k], heat.tempC[2] < -0.5);
      capacity[k] = heatCapacity(thermal, content[k]);
    }
    const exposure = snow ? 0 : 1 - cover + p.exposureUnderCover * cover;
    const absorbedMj = exposure * (1 - p.albedoDry + p.albedoWetDrop * topWetness) * sky.solarMj;
    const absorbedLongwaveW = exposure * sky.longwaveW;
    const limit = radiationLimitMm(absorbedMj + (absorbedLongwaveW * 86400) / 1e6, sky.meanC, gamma, p.priestleyTaylor);
    const latentMj = LATENT_MJ_PER_MM * Math.min(p.latentShare * water.evaporationMm, limit);
    const exchange = airExchangeWPerM2K(sky.meanC, sky.windMPerS, cover, water.snowMm, p);
    factorDay(heat, lambda, capacity, content, exchange, p.freezingRangeC);
    const last = weather.days - 1;
    airTemperatures(
      air,
      weather.tempMaxC[i > 0 ? i - 1 : 0],
      weather.tempMinC[i],
      weather.tempMaxC[i],
      weather.tempMinC[i < last ? i + 1 : last],
      sky.sunriseHour,
    );
    sunShares(sun, latitudeRad, sky.declination);
    const netMj = absorbedMj - latentMj;
    const base = i * 24;
    let sum5 = 0;
    let sum10 = 0;
    let max5 = -100;
    let min5 = 100;
    const t = heat.tempC;
    for (let h = 0; h < 24; h++) {
      heatHour(heat, W_PER_MJ_HOUR * netMj * sun[h] + absorbedLongwaveW + exchange * air[h]);
      const t5 = t[3];
      out.seedZoneTempC[base + h] = 0.1 * t[0] + 0.25 * t[1] + 0.4 * t[2] + 0.25 * t5;
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

    crustForcing.rainMm = rain;
    crustForcing.threeDayRainMm = rain + (i > 0 ? weather.rainMm[i - 1] : 0) + (i > 1 ? weather.rainMm[i - 2] : 0);
    crustForcing.tempMaxC = weather.tempMaxC[i];
    crustForcing.topWetness = topWetness;
    crustForcing.coverFrac = cover;
    crustForcing.worked = pass.groundFrac > 0;
    crustDay(crust, crustForcing, prone, parameters.crust);
    out.crusted[i] = crust.crusted ? 1 : 0;

    for (let k = 0; k < LAYERS; k++) out.waterM3PerM3[k][i] = content[k];
    out.surfacePotentialMPa[i] = matricPotentialMPa(content[0], constants);
    out.seedbedPotentialMPa[i] = matricPotentialMPa(content[1], constants);
    out.referenceEvaporationMm[i] = sky.referenceEvaporationMm;
    out.evaporationMm[i] = water.evaporationMm;
    out.transpirationMm[i] = water.transpirationMm;
    out.runoffMm[i] = water.runoffMm;
    out.drainageMm[i] = water.drainageMm;
    out.snowMm[i] = water.snowMm;
    loose *= Math.exp(-rain / parameters.pass.settlingRainMm);
  }
  return out;
};

/** The deepest pass of each day, or nothing. */
const passesByDay = (passes: readonly SoilPass[], weather: WeatherDays): (SoilPass | undefined)[] => {
  const byDay = new Array<SoilPass | undefined>(weather.days);
  for (const pass of passes) {
    const i = pass.day - weather.startDay;
    if (i >= 0 && i < weather.days && pass.depthCm >= (byDay[i]?.depthCm ?? 0)) byDay[i] = pass;
  }
  return byDay;
};

const brokenBalance = (day: number, missingMm: number) =>
  whitethreadError([
    {
      code: 'balance-broken',
      where: `soil water on ${isoDate(day)}`,
      given: `${missingMm} mm unexplained`,
      allowed: `at most ${BALANCE_MM} mm`,
      advice: 'This is a fault of the program: please report it with the input',
    },
  ]);
