import type { DayNumber } from '../base/day.ts';
import { firstOn, hemisphereMonthDay, latestOn } from '../base/season.ts';
import type { SpeciesDays, WeedDays } from './days.ts';
import type { Species } from './schema.ts';
import { weedYearStart } from './season.ts';
import { countsFromFirstDay } from './seedClock.ts';

/** The seedlings of one year of a species, in the unit of `SpeciesDays`. */
export type WeedYear = {
  readonly fromDay: DayNumber;
  /** The same as an index of the series; 0 where the series begins later. */
  readonly first: number;
  /** Morning after the last day of the year, or the last of the series. */
  readonly end: number;
  /** Came before the series began. */
  readonly missedFrac: number;
  /** All of them: missed, germinated, and what still waits. 1 in an undisturbed year, more where the ground was stirred. */
  readonly totalFrac: number;
};

/**
 * When the year that a species is counted by begins, MM-DD of the north: the calendar year for summer annuals and shoots from
 * a root (from July in the south), for winter annuals their autumn.
 */
export const countedFrom = (species: Species): string =>
  species.lifeForm === 'winterAnnual' ? weedYearStart(species) : '01-01';

/** Share of the year whose components began before the series, so long ago that they are taken as over. */
const missedFrac = ({ germination }: Species, fromDay: DayNumber, startDay: DayNumber, southern: boolean): number =>
  germination.components
    .filter(({ start }) => {
      const monthDay = hemisphereMonthDay(start, southern);
      return firstOn(monthDay, fromDay) < startDay && !countsFromFirstDay(monthDay, startDay);
    })
    .reduce((sum, { shareFrac }) => sum + shareFrac, 0);

/**
 * What comes up in all from one morning of the series on: not yet up by then and germinated until `end`, and the rest of
 * an undisturbed year. What stirring of later days adds is not known yet.
 * @param first and `end` mornings, indices of the series
 */
export const sentUpFrac = (one: SpeciesDays, first: number, end: number, missed = 0): number => {
  let known = missed;
  for (let i = first; i < end; i++) known += one.undisturbedFrac[i];
  return one.germinatedFrac[end] - one.potentialFrac[first] + Math.max(0, 1 - known);
};

/** The year of a species that holds `day`, a day of the series. @param southern six months later */
export const weedYear = (
  { startDay, days }: Pick<WeedDays, 'startDay' | 'days'>,
  one: SpeciesDays,
  species: Species,
  day: DayNumber,
  southern: boolean,
): WeedYear => {
  const monthDay = hemisphereMonthDay(countedFrom(species), southern);
  const fromDay = latestOn(monthDay, day);
  const first = Math.max(0, fromDay - startDay);
  const end = Math.min(days - 1, firstOn(monthDay, fromDay + 1) - startDay);
  const missed = missedFrac(species, fromDay, startDay, southern);
  return { fromDay, first, end, missedFrac: missed, totalFrac: missed + sentUpFrac(one, first, end, missed) };
};
