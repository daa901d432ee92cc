const DAYS_A_YEAR = 365.25;
/** Warmest day of the year, northern hemisphere: about a month after the solstice. */
const WARMEST_DAY = 200;

/** Day of the year on which `zonalMeanC` is lowest, with its fraction. @example coldestDay(-30) // 200 */
export const coldestDay = (latitudeDeg: number): number => WARMEST_DAY + (latitudeDeg < 0 ? 0 : DAYS_A_YEAR / 2);

/** -1 at the coldest of the year to 1 at the warmest. */
const seasonOf = (latitudeDeg: number, dayOfYear: number): number => {
  const shift = latitudeDeg < 0 ? DAYS_A_YEAR / 2 : 0;
  return Math.cos((2 * Math.PI * (dayOfYear - WARMEST_DAY - shift)) / DAYS_A_YEAR);
};

/** Nearer to the poles than this no field is hoed, and the parabola would grow far too cold. */
const FARTHEST_DEG = 65;

const degrees = (latitudeDeg: number): number => Math.min(FARTHEST_DEG, Math.abs(latitudeDeg));

const swingC = (latitudeDeg: number): number => 0.25 * degrees(latitudeDeg);

/**
 * Rough mean air temperature of a latitude and day of the year over land, C: 27 - 0.008 lat^2 + 0.25 |lat| cos(season).
 * Only for telling gross errors of unit from weather; never an input of the model.
 * Source: default of judgement, drawn by eye through usual lowland climates; an error of 10 C does no harm here.
 * @param latitudeDeg -90 to 90; beyond 65 as at 65
 * @param dayOfYear 1 to 366
 * @example zonalMeanC(42, 200) // 23.4
 */
export const zonalMeanC = (latitudeDeg: number, dayOfYear: number): number =>
  27 - 0.008 * degrees(latitudeDeg) ** 2 + swingC(latitudeDeg) * seasonOf(latitudeDeg, dayOfYear);

/**
 * How far daily means of lowland places scatter about `zonalMeanC`, one standard deviation, C. Wider in the cold half of
 * the year, when a warm sea may lie beside a cold land. Source: default of judgement.
 * @example zonalSdC(42, 200) // 5
 */
export const zonalSdC = (latitudeDeg: number, dayOfYear: number): number =>
  5 + 0.15 * swingC(latitudeDeg) * Math.max(0, -seasonOf(latitudeDeg, dayOfYear));
