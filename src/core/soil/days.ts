import type { DayNumber } from '../base/day.ts';

/** What a pass does to the soil: on which day, how deep, and on which share of the ground it loosens. */
export type SoilPass = { readonly day: DayNumber; readonly depthCm: number; readonly groundFrac: number };

/**
 * The soil of one field, a value a day in every column (hours: 24 a day, local mean solar time, hour h covers h to h+1).
 * Layers of water: 0-2.5, 2.5-7.5, 7.5-15, 15-30, 30-60, 60-100 cm.
 */
export type SoilDays = {
  readonly startDay: DayNumber;
  readonly days: number;
  /** Mean of 0-5 cm, where most weeds come from, hour by hour. */
  readonly seedZoneTempC: Float64Array;
  readonly temp5MeanC: Float64Array;
  readonly temp5MaxC: Float64Array;
  readonly temp5MinC: Float64Array;
  readonly temp10MeanC: Float64Array;
  /** Layer by layer, each a daily column at the end of the day. */
  readonly waterM3PerM3: readonly Float64Array[];
  /** Matric potential of 0-2.5 and 2.5-7.5 cm. */
  readonly surfacePotentialMPa: Float64Array;
  readonly seedbedPotentialMPa: Float64Array;
  readonly referenceEvaporationMm: Float64Array;
  readonly evaporationMm: Float64Array;
  readonly transpirationMm: Float64Array;
  readonly runoffMm: Float64Array;
  readonly drainageMm: Float64Array;
  /** Water lying as snow at the end of the day. */
  readonly snowMm: Float64Array;
  /** 1 where the soil at 5 cm was at 0 C or below at some hour of the day. */
  readonly frozen: Uint8Array;
  /** 1 where a crust lies that a seedling may not break. */
  readonly crusted: Uint8Array;
};

/** Columns of the right length, allocated once for a run. */
export const emptySoilDays = (startDay: DayNumber, days: number, layers: number): SoilDays => {
  const column = (): Float64Array => new Float64Array(days);
  return {
    startDay,
    days,
    seedZoneTempC: new Float64Array(24 * days),
    temp5MeanC: column(),
    temp5MaxC: column(),
    temp5MinC: column(),
    temp10MeanC: column(),
    waterM3PerM3: Array.from({ length: layers }, column),
    surfacePotentialMPa: column(),
    seedbedPotentialMPa: column(),
    referenceEvaporationMm: column(),
    evaporationMm: column(),
    transpirationMm: column(),
    runoffMm: column(),
    drainageMm: column(),
    snowMm: column(),
    frozen: new Uint8Array(days),
    crusted: new Uint8Array(days),
  };
};
