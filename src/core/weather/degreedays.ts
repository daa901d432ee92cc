import { clamp } from '../base/numbers.ts';

/**
 * Heat of a day from the plain mean: max((Tmax + Tmin) / 2, base) - base. No upper limit.
 * @param tempMaxC, tempMinC, baseTempC in one unit, C or F; the result is in degree-days of that unit
 * Source: McMaster & Wilhelm 1997, Agricultural and Forest Meteorology 87:291, method 1.
 * @example meanHeat(8, -2, 0) // 3
 */
export const meanHeat = (tempMaxC: number, tempMinC: number, baseTempC: number): number =>
  Math.max(0, (tempMaxC + tempMinC) / 2 - baseTempC);

/**
 * Heat of a day with the highest and the lowest each held between base and upper limit before the mean is taken. With
 * 50 and 86 F it is the sum that corn growers use.
 * Source: McMaster & Wilhelm 1997, Agricultural and Forest Meteorology 87:291, method 2.
 * @example clampedHeat(8, -2, 0, 30) // 4
 */
export const clampedHeat = (tempMaxC: number, tempMinC: number, baseTempC: number, upperTempC: number): number =>
  (clamp(tempMaxC, baseTempC, upperTempC) + clamp(tempMinC, baseTempC, upperTempC)) / 2 - baseTempC;

/** Mean over the day of what stands above a threshold: the building block of the curves below. */
type Excess = (tempMaxC: number, tempMinC: number, thresholdC: number) => number;

const sineExcess: Excess = (tempMaxC, tempMinC, thresholdC) => {
  const mean = (tempMaxC + tempMinC) / 2;
  if (thresholdC <= tempMinC) return mean - thresholdC;
  if (thresholdC >= tempMaxC) return 0;
  const half = (tempMaxC - tempMinC) / 2;
  const angle = Math.asin((thresholdC - mean) / half);
  return ((mean - thresholdC) * (Math.PI / 2 - angle) + half * Math.cos(angle)) / Math.PI;
};

const triangleExcess: Excess = (tempMaxC, tempMinC, thresholdC) => {
  if (thresholdC <= tempMinC) return (tempMaxC + tempMinC) / 2 - thresholdC;
  if (thresholdC >= tempMaxC) return 0;
  return (tempMaxC - thresholdC) ** 2 / (2 * (tempMaxC - tempMinC));
};

/** Two half days, each with its own lowest; the horizontal cut-off takes off what stands above the upper limit. */
const halves =
  (excess: Excess) =>
  (tempMaxC: number, tempMinC: number, nextMinC: number, baseTempC: number, upperTempC: number): number => {
    const half = (minC: number) => excess(tempMaxC, minC, baseTempC) - excess(tempMaxC, minC, upperTempC);
    return (half(tempMinC) + half(nextMinC)) / 2;
  };

/**
 * Heat of a day whose temperature follows a sine, with a horizontal upper cut-off. Give the day's own lowest as
 * `nextMinC` for the single sine, the next day's for the double sine.
 * @param tempMaxC, tempMinC, nextMinC, baseTempC, upperTempC in one unit, C or F, neither lowest above the highest
 * Source: Zalom et al. 1983, UC Leaflet 21373, table 7; form of Baskerville & Emin 1969, Ecology 50:514.
 * @example sineHeat(80, 60, 75, 55, 90) // 18.75
 */
export const sineHeat = halves(sineExcess);

/**
 * Heat of a day whose temperature follows a triangle, with a horizontal upper cut-off; parameters as `sineHeat`.
 * Source: Zalom et al. 1983, UC Leaflet 21373, table 7.
 * @example triangleHeat(80, 60, 75, 55, 90) // 18.75
 */
export const triangleHeat = halves(triangleExcess);
