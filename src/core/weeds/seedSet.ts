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

/**
 * The same for plants that came up on a given day: they flower with the early ones, or so many days after they came up,
 * whichever is later.
 */
export const cohortSeedSetDeadline = (species: Species, emergenceDay: DayNumber, southern: boolean): DayNumber =>
  Math.max(firstFlowerDay(species, emergenceDay, southern), emergenceDay + species.seedSet.leastDaysFromEmergence) +
  species.seedSet.daysToViableSeed;

/** So many of the oldest do not make the date of the rest: survivors of a pass among young plants. Default of judgement. */
const FEW_FRAC = 0.05;

/** By when what stands must be out, and the share of it for which that is past: it may hold seed that grows. */
export type StandingDeadline = { readonly day: DayNumber; readonly pastFrac: number };

/**
 * When the first of the plants that stand, but for the oldest twentieth, set seed that grows, each by the day on which it
 * came up. Where nothing stands, that of early plants.
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
  for (let k = 0; k < standingFrac.length; k++) {
    if (standingFrac[k] === 0) continue;
    const day = cohortSeedSetDeadline(species, startDay + k, southern);
    counted += standingFrac[k];
    if (day < today) past += standingFrac[k];
    if (first === null && counted > FEW_FRAC * all) first = day;
  }
  return first === null
    ? { day: seedSetDeadline(species, today, southern), pastFrac: 0 }
    : { day: first, pastFrac: past / all };
};
