import type { DayNumber } from '../base/day.ts';
import { firstOn, hemisphereMonthDay, latestOn } from '../base/season.ts';
import type { Species } from './schema.ts';
import { countedFrom } from './weedYear.ts';

/** First flower of an early plant in the year of its species that holds `day`. */
const firstFlowerDay = (species: Species, day: DayNumber, southern: boolean): DayNumber => {
  const yearStart = latestOn(hemisphereMonthDay(countedFrom(species), southern), day);
  return firstOn(hemisphereMonthDay(species.seedSet.firstFlower, southern), yearStart);
};

/**
 * By when early plants must be out of the field: first flower + days to viable seed, in the `weedYear` that holds `day`.
 * Flowering follows the length of the day more than heat, so it is a date; given for 40 degrees.
 * @param southern six months later
 */
export const seedSetDeadline = (species: Species, day: DayNumber, southern: boolean): DayNumber =>
  firstFlowerDay(species, day, southern) + species.seedSet.daysToViableSeed;

/** So many of the oldest do not make the date of the rest: survivors of a pass among young plants. Default of judgement. */
const FEW_FRAC = 0.05;

/** By when what stands must be out, and the share of it for which that is past: it may hold seed that grows. */
export type StandingDeadline = { readonly day: DayNumber; readonly pastFrac: number };

/**
 * When the first of the plants that stand, but for the oldest twentieth, set seed that grows. Each flowers with the early ones,
 * or so many days after it came up, whichever is later; one that would so late that its year is over sets none, as the winter
 * ends it. Where none stands that will, that of early plants.
 * @param standingFrac of the morning of `today`, by the day from `startDay` on which it came up
 */
export const standingDeadline = (
  species: Species,
  standingFrac: Float64Array,
  startDay: DayNumber,
  today: DayNumber,
  southern: boolean,
): StandingDeadline => {
  const all = standingFrac.reduce((sum, frac) => sum + frac, 0);
  let counted = 0;
  let past = 0;
  let first: DayNumber | null = null;
  const yearStart = hemisphereMonthDay(countedFrom(species), southern);
  const { leastDaysFromEmergence, daysToViableSeed } = species.seedSet;
  let flowerDay = 0;
  let nextYear = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < standingFrac.length; k++) {
    if (standingFrac[k] === 0) continue;
    const emergenceDay = startDay + k;
    if (emergenceDay >= nextYear) {
      flowerDay = firstFlowerDay(species, emergenceDay, southern);
      nextYear = firstOn(yearStart, emergenceDay + 1);
    }
    const day = Math.max(flowerDay, emergenceDay + leastDaysFromEmergence) + daysToViableSeed;
    if (day >= nextYear) continue;
    counted += standingFrac[k];
    if (day < today) past += standingFrac[k];
    if (first === null && counted > FEW_FRAC * all) first = day;
  }
  return { day: first ?? seedSetDeadline(species, today, southern), pastFrac: all > 0 ? past / all : 0 };
};
