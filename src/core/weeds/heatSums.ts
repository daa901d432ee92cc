import type { SoilDays } from '../soil/days.ts';
import { heatDays, hydrothermalDays, warmth } from './hydrothermal.ts';
import type { Species } from './schema.ts';

/** What drives a species up to the surface. */
export type ClockedSpecies = Pick<Species, 'germination' | 'elongation'>;

/** Running sums of a species in a soil on the morning of each day, one more than days, C d. Moments are days and parts of a day. */
export type HeatSums = {
  readonly timeCd: Float64Array;
  readonly elongationCd: Float64Array;
  readonly neededCd: number;
};

const runningSum = (days: Float64Array): Float64Array => {
  const sum = new Float64Array(days.length + 1);
  for (let i = 0; i < days.length; i++) sum[i + 1] = sum[i] + days[i];
  return sum;
};

/** Hydrothermal time and elongation heat from the first day of a soil on, with no start and no end of a season. */
export const heatSums = (soil: SoilDays, { germination, elongation }: ClockedSpecies): HeatSums => {
  const temps = warmth(soil.seedZoneTempC);
  return {
    timeCd: runningSum(hydrothermalDays(temps, soil, germination)),
    elongationCd: runningSum(heatDays(temps, elongation.baseTempC, Number.POSITIVE_INFINITY)),
    neededCd: elongation.lagCd + elongation.perCmCd * elongation.depthCm,
  };
};

/** The sum at a moment, straight lines within days; Infinity after the series. */
export const sumAt = (sum: Float64Array, moment: number): number => {
  const day = Math.floor(moment);
  if (day >= sum.length - 1) return moment === sum.length - 1 ? sum[day] : Number.POSITIVE_INFINITY;
  return sum[day] + (moment - day) * (sum[day + 1] - sum[day]);
};

/** The first moment at which a sum reaches a level, from the start of the series; Infinity when it never does. */
export const momentOf = (sum: Float64Array, level: number): number => {
  let low = 0;
  let high = sum.length - 1;
  if (!(sum[high] >= level)) return Number.POSITIVE_INFINITY;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (sum[middle] >= level) high = middle;
    else low = middle;
  }
  return sum[high] > sum[low] ? Math.max(low, low + (level - sum[low]) / (sum[high] - sum[low])) : low;
};
