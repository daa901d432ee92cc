import { type DayNumber, monthDayIn, yearOf } from './day.ts';

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
