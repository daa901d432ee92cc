import { clamp } from '../base/numbers.ts';
import type { SoilConstants } from './texture.ts';

const WATER = 0.57;
const QUARTZ = 7.7;
const OTHER = 2;
const ICE = 2.2;

/** Per soil: the two ends of Johansen's curve and the heat capacity of the dry soil. */
export type ThermalConstants = {
  readonly dry: number;
  readonly saturated: number;
  readonly frozenSaturated: number;
  readonly saturation: number;
  /** J/m3/K of the solids. */
  readonly solidCapacity: number;
};

/**
 * The soil's thermal constants. Quartz is taken as the share of sand.
 * Source: Johansen 1975 as printed for land-surface models (Peters-Lidard et al. 1998).
 */
export const thermalConstants = (soil: SoilConstants): ThermalConstants => {
  const n = soil.saturation;
  const quartz = soil.sandFrac;
  const solids = QUARTZ ** quartz * OTHER ** (1 - quartz);
  const bulk = (1 - n) * 2700;
  return {
    dry: (0.135 * bulk + 64.7) / (2700 - 0.947 * bulk),
    saturated: solids ** (1 - n) * WATER ** n,
    frozenSaturated: solids ** (1 - n) * ICE ** n,
    saturation: n,
    solidCapacity: (1 - n) * 2.1e6,
  };
};

/**
 * Fills the thermal conductivity of every layer, W/m/K: from dry to saturated by the Kersten number log10(S) + 1, S
 * itself when frozen; in between in proportion.
 * @param water m3/m3
 * @param iceFrac share of what can freeze that is frozen
 */
export const conductivities = (
  out: Float64Array,
  thermal: ThermalConstants,
  water: Float64Array,
  iceFrac: Float64Array,
): void => {
  for (let k = 0; k < out.length; k++) {
    const wet = clamp(water[k] / thermal.saturation, 0, 1);
    const thawed = wet > 0.1 ? (Math.log10(wet) + 1) * (thermal.saturated - thermal.dry) : 0;
    const frozen = wet * (thermal.frozenSaturated - thermal.dry);
    out[k] = thermal.dry + thawed + iceFrac[k] * (frozen - thawed);
  }
};

/** Fills the heat capacity of every layer, J/m3/K: solids and water. @param water m3/m3 */
export const heatCapacities = (out: Float64Array, thermal: ThermalConstants, water: Float64Array): void => {
  for (let k = 0; k < out.length; k++) out[k] = thermal.solidCapacity + 4.18e6 * water[k];
};
