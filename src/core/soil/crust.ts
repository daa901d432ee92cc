import { interpolated } from '../base/numbers.ts';
import type { SoilParameters } from './parameters.ts';
import type { SoilConstants } from './texture.ts';

/** The table's soils of little clay are sands, which do not seal. A silt of little clay does: it counts as the worst, 10 %. */
const SILTY_FRAC = 0.7;
const WORST_CLAY = 10;

/**
 * How ready a soil is to seal, 0 to 10, low is prone.
 * Source: Huinink 2018 (Dutch tables of workability and sealing), by clay and organic matter. That a silt counts as
 * 10 % clay is a default of judgement.
 */
export const sealingIndex = (soil: SoilConstants): number => {
  const silt = 1 - soil.sandFrac - soil.clayFrac;
  const clay = silt >= SILTY_FRAC ? Math.max(WORST_CLAY, soil.clayFrac * 100) : soil.clayFrac * 100;
  const base: [number, number][] = [
    [4, 7],
    [6, 6],
    [9, 3],
    [10, 2],
    [17, 4],
    [25, 8],
    [30, 9],
    [100, 10],
  ];
  const gain: [number, number][] = [
    [4, 0.4],
    [6, 0.6],
    [9, 0.8],
    [10, 1],
    [17, 0.7],
    [25, 0.4],
    [30, 0.3],
    [100, 0],
  ];
  return interpolated(base, clay) + interpolated(gain, clay) * soil.organicMatterFrac * 100;
};

/** The crust's memory from day to day. */
export type CrustState = { sealed: boolean; dryDays: number; crusted: boolean };

/** No seal and no crust: a field fresh from tillage. */
export const noCrust = (): CrustState => ({ sealed: false, dryDays: 0, crusted: false });

/** What the day does to the crust. */
export type CrustDay = {
  rainMm: number;
  threeDayRainMm: number;
  tempMaxC: number;
  /** Relative wetness of the top layer, 0 wilting point, 1 field capacity. */
  topWetness: number;
  coverFrac: number;
  worked: boolean;
  /** Whether the soil seals at all. */
  prone: boolean;
};

/**
 * Pounding rain on bare, sealing-prone soil seals it, dry warm days bake the seal, rain softens it and steel breaks it.
 * Default of judgement: no published threshold was found.
 */
export const crustDay = (state: CrustState, day: CrustDay, p: SoilParameters['crust']): void => {
  if (day.worked || (state.crusted && day.rainMm >= p.softeningRainMm)) {
    state.sealed = false;
    state.crusted = false;
    state.dryDays = 0;
  }
  const pounding = day.rainMm >= p.dayRainMm || day.threeDayRainMm >= p.threeDayRainMm;
  if (day.prone && pounding && day.coverFrac <= p.mostCoverFrac) {
    state.sealed = true;
    state.dryDays = 0;
    return;
  }
  if (!state.sealed) return;
  const bakes = day.topWetness < p.dryFrac && day.tempMaxC >= p.bakingTempMaxC;
  state.dryDays = bakes ? state.dryDays + 1 : state.dryDays;
  if (state.dryDays >= p.dryDays) state.crusted = true;
};
