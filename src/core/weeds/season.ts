import { type DayNumber, monthDayIn, yearOf } from '../base/day.ts';
import type { Species } from './schema.ts';

/**
 * A northern month and day in the hemisphere of the field: six months on in the south.
 * @example hemisphereMonthDay('03-01', true) // '09-01'
 */
export const hemisphereMonthDay = (monthDay: string, southern: boolean): string => {
  if (!southern) return monthDay;
  const month = ((Number(monthDay.slice(0, 2)) + 5) % 12) + 1;
  return `${String(month).padStart(2, '0')}${monthDay.slice(2)}`;
};

/** The latest day with this month and day that is not after `day`. @param monthDay as it is in that hemisphere */
export const latestOn = (monthDay: string, day: DayNumber): DayNumber => {
  const inYear = monthDayIn(yearOf(day), monthDay);
  return inYear <= day ? inYear : monthDayIn(yearOf(day) - 1, monthDay);
};

/** The first day with this month and day that is not before `day`. @param monthDay as it is in that hemisphere */
export const firstOn = (monthDay: string, day: DayNumber): DayNumber => {
  const inYear = monthDayIn(yearOf(day), monthDay);
  return inYear >= day ? inYear : monthDayIn(yearOf(day) + 1, monthDay);
};

/**
 * When a species' weed year begins, MM-DD of the north: with the first component of its main season. What stood until
 * then is dead: a summer annual of frost or age, a winter annual of age, a shoot because the root sends up new ones.
 * Default of judgement.
 */
export const weedYearStart = (species: Species): string => {
  const main = species.lifeForm === 'winterAnnual' ? 'autumn' : 'spring';
  const inMain = species.germination.components.filter((c) => c.season === main);
  const starts = (inMain.length > 0 ? inMain : species.germination.components).map((c) => c.start);
  return starts.sort()[0] as string;
};

/**
 * A lowest temperature at or below this kills what stands of a summer annual in the cold half of its year; seedlings of
 * early species bear as much in spring, so it counts from autumn on. Common practice, no source: a hard freeze.
 */
export const KILLING_FROST_C = -4;

/** So many days before its next year a summer annual is in the half of the year in which frost ends it. */
export const FROST_HALF_DAYS = 183;
