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
 * By when escapes must be out of the field: first flower of an early plant + days to viable seed, in the `weedYear` that
 * holds `day`. Flowering follows the length of the day more than heat, so it is a date; given for 40 degrees.
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
