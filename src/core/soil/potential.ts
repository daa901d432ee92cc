import type { SoilConstants } from './texture.ts';

/** Drier than this the curve has no meaning for seeds; air-dry soil is far beyond every threshold. */
const DRIEST_MPA = -15;

/**
 * Matric potential at a water content, MPa, 0 when saturated. Power law from 33 kPa on, a straight line from field
 * capacity to air entry.
 * Source: Saxton & Rawls 2006 eqs. 11-13.
 * @param water m3/m3
 * @example matricPotentialMPa(fieldCapacity, constants) // -0.033
 */
export const matricPotentialMPa = (water: number, soil: SoilConstants): number => {
  const { a, b, fieldCapacity, saturation, airEntryKPa } = soil;
  if (water >= saturation) return 0;
  if (water > fieldCapacity)
    return -(33 - ((water - fieldCapacity) * (33 - airEntryKPa)) / (saturation - fieldCapacity)) / 1000;
  return Math.max(DRIEST_MPA, -(a * Math.max(water, 1e-4) ** -b) / 1000);
};

/** Fills `matricPotentialMPa` of a layer, a value a day. */
export const potentialDays = (out: Float64Array, waterM3PerM3: Float64Array, soil: SoilConstants): void => {
  for (let i = 0; i < out.length; i++) out[i] = matricPotentialMPa(waterM3PerM3[i], soil);
};
