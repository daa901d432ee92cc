import type { SoilDays } from '../soil/days.ts';
import type { Species } from './schema.ts';

/** Temperatures hour by hour, with each day's lowest, highest and mean, which most often make the hours unnecessary. */
export type Warmth = {
  readonly hourlyC: Float64Array;
  readonly lowestC: Float64Array;
  readonly highestC: Float64Array;
  readonly meanC: Float64Array;
};

/** @param hourlyC 24 temperatures a day, C */
export const warmth = (hourlyC: Float64Array): Warmth => {
  const days = hourlyC.length / 24;
  const out = {
    hourlyC,
    lowestC: new Float64Array(days),
    highestC: new Float64Array(days),
    meanC: new Float64Array(days),
  };
  for (let day = 0; day < days; day++) {
    let sum = 0;
    let lowest = hourlyC[24 * day];
    let highest = lowest;
    for (let h = 24 * day; h < 24 * day + 24; h++) {
      const t = hourlyC[h];
      sum += t;
      if (t < lowest) lowest = t;
      if (t > highest) highest = t;
    }
    out.lowestC[day] = lowest;
    out.highestC[day] = highest;
    out.meanC[day] = sum / 24;
  }
  return out;
};

/**
 * Heat of one day above a base, hour by hour: sum over 24 hours of max(0, min(T, upper) - base) / 24, C d.
 * Hours and not the daily mean: a day whose mean is the base still has warm hours, and dates come out days late without.
 * @param day index of the day
 * @param upperTempC warmer hours count as this; Infinity for no limit
 * @example heatOfDay(warmth(new Float64Array(24).fill(12)), 0, 10, 30) // 2
 */
export const heatOfDay = (warmth: Warmth, day: number, baseTempC: number, upperTempC: number): number => {
  const highest = warmth.highestC[day];
  if (highest <= baseTempC) return 0;
  if (warmth.lowestC[day] >= baseTempC && highest <= upperTempC) return warmth.meanC[day] - baseTempC;
  let sum = 0;
  for (let h = 24 * day; h < 24 * day + 24; h++) {
    const t = warmth.hourlyC[h];
    if (t > baseTempC) sum += Math.min(t, upperTempC) - baseTempC;
  }
  return sum / 24;
};

/**
 * Share of a species' seeds that lie moist enough to germinate: w0 [surface >= psi_b] + (1 - w0) [seedbed >= psi_b].
 * A step in two layers: one layer, or a straight line, stops species in the field that do come up. 1 without psi_b.
 * Source: step form after the hydrothermal time of Gummerson 1986 (from memory); two layers are a default of judgement.
 * @param surfaceMPa matric potential of 0-2.5 cm
 * @param seedbedMPa matric potential of 2.5-7.5 cm
 */
export const moistFrac = (germination: Species['germination'], surfaceMPa: number, seedbedMPa: number): number => {
  const { basePotentialMPa, surfaceShareFrac } = germination;
  if (basePotentialMPa === null) return 1;
  return (
    (surfaceMPa >= basePotentialMPa ? surfaceShareFrac : 0) +
    (seedbedMPa >= basePotentialMPa ? 1 - surfaceShareFrac : 0)
  );
};

/** `heatOfDay` for every day. A whole column at once: the loops over days then neither call nor box a number. */
export const heatDays = (warmth: Warmth, baseTempC: number, upperTempC: number): Float64Array => {
  const out = new Float64Array(warmth.meanC.length);
  for (let i = 0; i < out.length; i++) out[i] = heatOfDay(warmth, i, baseTempC, upperTempC);
  return out;
};

/** Hydrothermal time of every day, C d: the day's heat times the share of seeds that lie moist enough. */
export const hydrothermalDays = (
  warmth: Warmth,
  soil: Pick<SoilDays, 'surfacePotentialMPa' | 'seedbedPotentialMPa'>,
  germination: Species['germination'],
): Float64Array => {
  const out = heatDays(warmth, germination.baseTempC, germination.optimumTempC);
  for (let i = 0; i < out.length; i++)
    out[i] *= moistFrac(germination, soil.surfacePotentialMPa[i], soil.seedbedPotentialMPa[i]);
  return out;
};
