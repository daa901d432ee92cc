import { clamp } from '../base/numbers.ts';
import { LAYERS, layerThicknessMm } from './layers.ts';
import type { SoilParameters } from './parameters.ts';
import { meltedMm } from './snow.ts';
import type { SoilConstants } from './texture.ts';

/** Water of the profile, written in place day by day. Layers in mm. */
export type WaterState = {
  readonly layersMm: Float64Array;
  snowMm: number;
  /** Rain and melt of the day that reach the ground. */
  arrivingMm: number;
  evaporationMm: number;
  transpirationMm: number;
  runoffMm: number;
  drainageMm: number;
  /** All water on the field, and what of its change on the last day is not explained by the flows: rounding only. */
  storedMm: number;
  unexplainedMm: number;
};

/** Limits of each layer in mm, worked out once for a soil. */
export type LayerLimits = {
  readonly wilting: Float64Array;
  readonly capacity: Float64Array;
  readonly full: Float64Array;
  /** Share of the water above field capacity that leaves a layer in a day. */
  readonly drainFrac: number;
};

const drainageFactors = { poor: 0.4, moderate: 1, good: 1.3 } as const;

/** The limits of every layer of a soil, and the share of spare water that leaves a layer in a day: 1 - exp(-rate). */
export const layerLimits = (
  soil: SoilConstants,
  drainage: keyof typeof drainageFactors,
  parameters: SoilParameters,
): LayerLimits => {
  const { fillFrac, drainagePerDay, mostConductivityRatio, conductivityMmPerH } = parameters.water;
  const ratio = Math.min(mostConductivityRatio, soil.conductivityMmPerH / conductivityMmPerH);
  return {
    wilting: Float64Array.from(layerThicknessMm, (mm) => mm * soil.wiltingPoint),
    capacity: Float64Array.from(layerThicknessMm, (mm) => mm * soil.fieldCapacity),
    full: Float64Array.from(layerThicknessMm, (mm) => mm * soil.saturation * fillFrac),
    drainFrac: 1 - Math.exp(-drainagePerDay * ratio * drainageFactors[drainage]),
  };
};

/** A profile at field capacity with no snow: where a winter leaves most soils. */
export const wetProfile = (limits: LayerLimits): WaterState => {
  const state = {
    layersMm: limits.capacity.slice(),
    snowMm: 0,
    arrivingMm: 0,
    evaporationMm: 0,
    transpirationMm: 0,
    runoffMm: 0,
    drainageMm: 0,
    storedMm: 0,
    unexplainedMm: 0,
  };
  sumUp(state);
  return state;
};

const sumUp = (state: WaterState): void => {
  let sum = state.snowMm;
  for (let i = 0; i < LAYERS; i++) sum += state.layersMm[i];
  state.storedMm = sum;
};

/** What the day brings to the water balance. */
export type WaterForcing = {
  rainMm: number;
  tempMeanC: number;
  referenceEvaporationMm: number;
  /** Share of the ground shaded by living plants, which also drink. */
  cropCoverFrac: number;
  /** Share of the ground shaded by anything. */
  coverFrac: number;
  /** Loosened top, 0 to 1. */
  looseFrac: number;
};

/** Rain and melt reach the ground; the rest stays snow. */
const thaw = (state: WaterState, day: WaterForcing, p: SoilParameters['water']): void => {
  if (day.tempMeanC <= p.snowTempC) {
    state.snowMm += day.rainMm;
    state.arrivingMm = 0;
    return;
  }
  const melt = meltedMm(state.snowMm, day.tempMeanC, p.meltMmPerCd);
  state.snowMm -= melt;
  state.arrivingMm = day.rainMm + melt;
};

const infiltrate = (state: WaterState, limits: LayerLimits): void => {
  let left = state.arrivingMm;
  for (let i = 0; i < LAYERS && left > 0; i++) {
    const taken = Math.min(left, Math.max(0, limits.full[i] - state.layersMm[i]));
    state.layersMm[i] += taken;
    left -= taken;
  }
  state.runoffMm = left;
};

const drain = (state: WaterState, limits: LayerLimits): void => {
  // From the bottom up: what reaches a layer today leaves it tomorrow at the earliest.
  for (let i = LAYERS - 1; i >= 0; i--) {
    const spare = state.layersMm[i] - limits.capacity[i];
    if (spare <= 0) continue;
    const room = i + 1 < LAYERS ? Math.max(0, limits.full[i + 1] - state.layersMm[i + 1]) : Number.POSITIVE_INFINITY;
    const flow = Math.min(spare * limits.drainFrac, room);
    state.layersMm[i] -= flow;
    if (i + 1 < LAYERS) state.layersMm[i + 1] += flow;
    else state.drainageMm = flow;
  }
};

const evaporate = (state: WaterState, limits: LayerLimits, day: WaterForcing, p: SoilParameters): void => {
  const w = p.water;
  // Snow feeds the air first: the ground beneath it does not dry.
  const demand = state.snowMm > 0 ? 0 : w.evaporationFactor * day.referenceEvaporationMm * (1 - day.coverFrac);
  let total = 0;
  for (let i = 0; i < 3; i++) {
    const water = state.layersMm[i];
    const wilting = limits.wilting[i];
    const span = limits.capacity[i] - wilting;
    const floor = (i === 0 ? 0.5 : w.keptFrac) * wilting;
    const ease =
      i === 0
        ? (water - floor) / (w.readilyEvaporatedFrac * (limits.capacity[i] - floor))
        : clamp((water - wilting) / span, 0, 1) ** w.dryingPower * (1 - p.pass.shieldFrac * day.looseFrac);
    const gain = i === 0 ? 1 + p.pass.dryingGainFrac * day.looseFrac : 1;
    const asked = demand * (w.evaporationShares[i] as number) * gain * clamp(ease, 0, 1);
    const given = Math.min(asked, Math.max(0, water - floor));
    state.layersMm[i] = water - given;
    total += given;
  }
  state.evaporationMm = total;
};

const transpire = (state: WaterState, limits: LayerLimits, day: WaterForcing, p: SoilParameters['water']): void => {
  const warmth = clamp(day.tempMeanC / p.fullTranspirationTempC, 0, 1);
  const demand = p.transpirationFactor * day.referenceEvaporationMm * day.cropCoverFrac * warmth;
  let total = 0;
  for (let i = 0; i < LAYERS; i++) {
    const available = Math.max(0, state.layersMm[i] - limits.wilting[i]);
    const wetness = available / (limits.capacity[i] - limits.wilting[i]);
    const given = Math.min(available, demand * (p.rootShares[i] as number) * Math.min(1, wetness / p.stressFrac));
    state.layersMm[i] -= given;
    total += given;
  }
  state.transpirationMm = total;
};

const rise = (state: WaterState, limits: LayerLimits, day: WaterForcing, { water: p, pass }: SoilParameters): void => {
  for (let i = LAYERS - 2; i >= 0; i--) {
    const above = layerThicknessMm[i] as number;
    const below = layerThicknessMm[i + 1] as number;
    const difference = state.layersMm[i + 1] / below - state.layersMm[i] / above;
    if (difference <= 0) continue;
    const span = limits.capacity[i + 1] - limits.wilting[i + 1];
    const wetness = clamp((state.layersMm[i + 1] - limits.wilting[i + 1]) / span, 0, 1);
    // A loosened top has lost its fine pores to the soil below.
    const open = i === 0 ? 1 - pass.shieldFrac * day.looseFrac : 1;
    const flow = open * p.riseFactor * difference * Math.min(above, below) * wetness ** p.risePower;
    // Never past the point where both are equally wet.
    const most = difference / (1 / above + 1 / below);
    const moved = Math.min(flow, most, Math.max(0, limits.full[i] - state.layersMm[i]));
    state.layersMm[i] += moved;
    state.layersMm[i + 1] -= moved;
  }
};

/**
 * One day of the layered balance: snow, rain into the layers from the top, drainage of what is above field capacity,
 * evaporation from the three top layers, transpiration, and flow upwards between neighbours. Writes `state` in place,
 * with what the balance leaves unexplained.
 * Source: the idea of FAO-56 eqs. 71-77 in layers; constants as marked in parameters.ts.
 */
export const waterDay = (
  state: WaterState,
  limits: LayerLimits,
  day: WaterForcing,
  parameters: SoilParameters,
): void => {
  const before = state.storedMm + day.rainMm;
  state.drainageMm = 0;
  thaw(state, day, parameters.water);
  infiltrate(state, limits);
  drain(state, limits);
  evaporate(state, limits, day, parameters);
  transpire(state, limits, day, parameters.water);
  rise(state, limits, day, parameters);
  sumUp(state);
  const left = state.evaporationMm + state.transpirationMm + state.runoffMm + state.drainageMm;
  state.unexplainedMm = before - (state.storedMm + left);
};
