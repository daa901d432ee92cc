import type { Soil, TextureClass } from './schema.ts';

/** Sand and clay at the point of each USDA class that Saxton & Rawls 2006 printed their class table for. */
const classPoints: Readonly<Record<TextureClass, { readonly sandFrac: number; readonly clayFrac: number }>> = {
  sand: { sandFrac: 0.88, clayFrac: 0.05 },
  'loamy-sand': { sandFrac: 0.8, clayFrac: 0.05 },
  'sandy-loam': { sandFrac: 0.65, clayFrac: 0.1 },
  loam: { sandFrac: 0.4, clayFrac: 0.2 },
  'silt-loam': { sandFrac: 0.2, clayFrac: 0.15 },
  silt: { sandFrac: 0.1, clayFrac: 0.05 },
  'sandy-clay-loam': { sandFrac: 0.6, clayFrac: 0.25 },
  'clay-loam': { sandFrac: 0.3, clayFrac: 0.35 },
  'silty-clay-loam': { sandFrac: 0.1, clayFrac: 0.35 },
  'sandy-clay': { sandFrac: 0.5, clayFrac: 0.4 },
  'silty-clay': { sandFrac: 0.1, clayFrac: 0.45 },
  clay: { sandFrac: 0.25, clayFrac: 0.5 },
};

/** What a texture means for water: contents in m3/m3, potentials in kPa below zero given as positive suction. */
export type SoilConstants = {
  readonly sandFrac: number;
  readonly clayFrac: number;
  readonly organicMatterFrac: number;
  readonly wiltingPoint: number;
  readonly fieldCapacity: number;
  readonly saturation: number;
  readonly conductivityMmPerH: number;
  readonly airEntryKPa: number;
  /** Suction = a x content^-b between 1500 and 33 kPa. */
  readonly a: number;
  readonly b: number;
};

/** Pure sand without humus would hold less than nothing, and heavy clay no air, m3/m3. */
const LEAST_WILTING = 0.01;
const LEAST_GAP = 0.02;

/**
 * Wilting point (1500 kPa), field capacity (33 kPa), saturation and saturated conductivity from sand, clay and organic
 * matter. Valid for organic matter to 8 % and clay to 60 %; beyond that the regression extrapolates, and only the order of
 * the three contents is held (default of judgement).
 * Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, eqs. 1-5 and 11-18.
 * @param sand fraction by weight
 * @param clay fraction by weight
 * @param organicMatterFrac fraction by weight
 */
export const hydraulics = (sand: number, clay: number, organicMatterFrac: number): SoilConstants => {
  const om = organicMatterFrac * 100; // the regression takes per cent
  const s = sand;
  const c = clay;
  const dry = -0.024 * s + 0.487 * c + 0.006 * om + 0.005 * s * om - 0.013 * c * om + 0.068 * s * c + 0.031;
  const wiltingPoint = Math.max(LEAST_WILTING, dry + (0.14 * dry - 0.02)); // eq. 1
  const moist = -0.251 * s + 0.195 * c + 0.011 * om + 0.006 * s * om - 0.027 * c * om + 0.452 * s * c + 0.299;
  const fieldCapacity = Math.max(wiltingPoint + LEAST_GAP, moist + (1.283 * moist ** 2 - 0.374 * moist - 0.015)); // eq. 2
  const wet = 0.278 * s + 0.034 * c + 0.022 * om - 0.018 * s * om - 0.027 * c * om - 0.584 * s * c + 0.078;
  const aboveFieldCapacity = wet + (0.636 * wet - 0.107); // eq. 3
  const entry =
    -21.67 * s -
    27.93 * c -
    81.97 * aboveFieldCapacity +
    71.12 * s * aboveFieldCapacity +
    8.29 * c * aboveFieldCapacity +
    14.05 * s * c +
    27.16;
  const airEntryKPa = Math.max(0, entry + (0.02 * entry ** 2 - 0.113 * entry - 0.7)); // eq. 4
  const saturation = fieldCapacity + Math.max(LEAST_GAP, aboveFieldCapacity - 0.097 * s + 0.043); // eq. 5
  const b = (Math.log(1500) - Math.log(33)) / (Math.log(fieldCapacity) - Math.log(wiltingPoint)); // eq. 15
  const a = Math.exp(Math.log(33) + b * Math.log(fieldCapacity)); // eq. 14
  const conductivityMmPerH = 1930 * (saturation - fieldCapacity) ** (3 - 1 / b); // eq. 16
  return {
    sandFrac: s,
    clayFrac: c,
    organicMatterFrac,
    wiltingPoint,
    fieldCapacity,
    saturation,
    conductivityMmPerH,
    airEntryKPa,
    a,
    b,
  };
};

/**
 * The constants of a soil as a farmer gives it: measured sand and clay go before the class. Where only one was measured the
 * class counts for the other, at most what the measured one leaves: more than all of the soil would be none.
 */
export const soilConstants = (soil: Soil): SoilConstants => {
  const point = soil.texture === undefined ? undefined : classPoints[soil.texture];
  const sand = soil.sandFrac ?? Math.min(point?.sandFrac ?? Number.NaN, 1 - (soil.clayFrac ?? 0));
  const clay = soil.clayFrac ?? Math.min(point?.clayFrac ?? Number.NaN, 1 - (soil.sandFrac ?? 0));
  return hydraulics(sand, clay, soil.organicMatterFrac);
};
