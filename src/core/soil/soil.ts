import { isoDate } from '../base/day.ts';
import { whitethreadError } from '../base/errors.ts';
import { clamp } from '../base/numbers.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import { type AtmosphereDays, atmosphereDays } from './atmosphere.ts';
import { type CrustDay, type CrustState, crustDay, noCrust, sealingIndex } from './crust.ts';
import { emptySoilDays, type SoilDays, type SoilPass } from './days.ts';
import { type Ground, settledGround } from './ground.ts';
import { heatDay } from './heatDay.ts';
import { LAYERS, layerThicknessMm } from './layers.ts';
import { type SoilParameters, soilParameters } from './parameters.ts';
import { potentialDays } from './potential.ts';
import type { Soil } from './schema.ts';
import { waterDay } from './water.ts';

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
  const ground = settledGround(weather, site, soil, parameters);
  const sky = atmosphereDays(weather, site, parameters);
  const out = emptySoilDays(weather.startDay, weather.days, LAYERS);
  const worked = passesByDay(passes, weather);
  const crust = noCrust();
  const sealing: CrustDay = {
    rainMm: 0,
    threeDayRainMm: 0,
    tempMaxC: 0,
    topWetness: 0,
    coverFrac: 0,
    worked: false,
    prone: sealingIndex(ground.constants) <= parameters.crust.mostSealingIndex,
  };
  for (let i = 0; i < weather.days; i++) {
    const pass = worked.get(i) ?? nothingWorked;
    loosen(ground, pass);
    shade(ground, soil, cropCoverFrac, i);
    balancedWater(ground, weather, sky, i, cropCoverFrac);
    heatDay(ground, sky, i, out);
    sealing.worked = pass.groundFrac > 0;
    crustOver(crust, sealing, ground, weather, i);
    record(out, i, ground, crust);
    settle(ground, weather, i);
  }
  out.referenceEvaporationMm.set(sky.referenceEvaporationMm);
  potentialDays(out.surfacePotentialMPa, out.waterM3PerM3[0], ground.constants);
  potentialDays(out.seedbedPotentialMPa, out.waterM3PerM3[1], ground.constants);
  return out;
};

const loosen = (ground: Ground, pass: SoilPass): void => {
  if (pass.groundFrac === 0) return;
  ground.looseFrac = Math.max(ground.looseFrac, pass.groundFrac);
  ground.looseDepthCm = pass.depthCm;
};

const shade = (ground: Ground, soil: Soil, cropCoverFrac: Float64Array, i: number): void => {
  ground.coverFrac = 1 - (1 - cropCoverFrac[i]) * (1 - soil.residueCoverFrac);
};

/** Rain closes what a pass has loosened. */
const settle = (ground: Ground, weather: WeatherDays, i: number): void => {
  ground.looseFrac *= Math.exp(-weather.rainMm[i] / ground.parameters.pass.settlingRainMm);
};

/** Water of the day, and the proof that none was made or lost. */
const balancedWater = (
  ground: Ground,
  weather: WeatherDays,
  sky: AtmosphereDays,
  i: number,
  cropCoverFrac: Float64Array,
): void => {
  const { water, limits, forcing, content } = ground;
  forcing.rainMm = weather.rainMm[i];
  forcing.tempMeanC = sky.meanC[i];
  forcing.referenceEvaporationMm = sky.referenceEvaporationMm[i];
  forcing.cropCoverFrac = cropCoverFrac[i];
  forcing.coverFrac = ground.coverFrac;
  forcing.looseFrac = ground.looseFrac;
  waterDay(water, limits, forcing, ground.parameters);
  if (!(Math.abs(water.unexplainedMm) <= BALANCE_MM)) throw brokenBalance(weather.startDay + i, water.unexplainedMm);
  for (let k = 0; k < LAYERS; k++) content[k] = water.layersMm[k] / layerThicknessMm[k];
  ground.topWetness = clamp((water.layersMm[0] - limits.wilting[0]) / (limits.capacity[0] - limits.wilting[0]), 0, 1);
};

const crustOver = (crust: CrustState, day: CrustDay, ground: Ground, { rainMm, tempMaxC }: WeatherDays, i: number) => {
  day.rainMm = rainMm[i];
  day.threeDayRainMm = rainMm[i] + (i > 0 ? rainMm[i - 1] : 0) + (i > 1 ? rainMm[i - 2] : 0);
  day.tempMaxC = tempMaxC[i];
  day.topWetness = ground.topWetness;
  day.coverFrac = ground.coverFrac;
  crustDay(crust, day, ground.parameters.crust);
};

/** The evening of the day; its temperatures are written already. */
const record = (out: SoilDays, i: number, { content, water }: Ground, crust: CrustState): void => {
  for (let k = 0; k < LAYERS; k++) out.waterM3PerM3[k][i] = content[k];
  out.evaporationMm[i] = water.evaporationMm;
  out.transpirationMm[i] = water.transpirationMm;
  out.runoffMm[i] = water.runoffMm;
  out.drainageMm[i] = water.drainageMm;
  out.snowMm[i] = water.snowMm;
  out.crusted[i] = crust.crusted ? 1 : 0;
};

/** The days that steel worked, by their place in the series: of several passes the widest and the deepest. */
const passesByDay = (passes: readonly SoilPass[], { startDay }: WeatherDays): ReadonlyMap<number, SoilPass> => {
  const byDay = new Map<number, SoilPass>();
  for (const { day, depthCm, groundFrac } of passes) {
    if (groundFrac === 0) continue;
    const other = byDay.get(day - startDay) ?? nothingWorked;
    byDay.set(day - startDay, {
      day,
      depthCm: Math.max(depthCm, other.depthCm),
      groundFrac: Math.max(groundFrac, other.groundFrac),
    });
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
