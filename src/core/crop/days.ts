import type { DayNumber } from '../base/day.ts';

/**
 * The crop, a value a day (state on that day's morning plus its heat). Before planting every column is NaN.
 * `leaf` runs from -1 at planting to 0 at emergence in proportion to the heat needed, then counts leaves.
 */
export type CropDays = {
  readonly cropId: string;
  readonly startDay: DayNumber;
  readonly days: number;
  readonly plantedDay: DayNumber;
  readonly depthCm: number;
  readonly rowCm: number;
  /** null while not up by the end of the series. */
  readonly emergenceDay: DayNumber | null;
  /** The date that ended its winter rest, where it grew on before its cold days were full; else null. */
  readonly restEndedByDate: DayNumber | null;
  readonly leaf: Float64Array;
  readonly heightCm: Float64Array;
  readonly coverFrac: Float64Array;
  /** Depth of the shoot tip below the surface from planting to emergence, 0 after; for crops whose tip cannot be placed, NaN. */
  readonly shootTipDepthCm: Float64Array;
};
