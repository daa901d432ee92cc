/** A civil date as a whole number of days since 1970-01-01. Inside the core there are no clocks and no time zones. */
export type DayNumber = number;

const MS_PER_DAY = 86_400_000;

/**
 * Day number of an ISO date.
 * @param isoDate YYYY-MM-DD, years 1 to 9999, already validated
 * @example dayNumber('1970-01-02') // 1
 */
export const dayNumber = (isoDate: string): DayNumber => Math.round(Date.parse(`${isoDate}T00:00:00Z`) / MS_PER_DAY);

/**
 * ISO date of a day number.
 * @example isoDate(1) // '1970-01-02'
 */
export const isoDate = (day: DayNumber): string => new Date(day * MS_PER_DAY).toISOString().slice(0, 10);

/** 1 January of a Gregorian year: 365 days a year and the leap days before it. Plain sums, as the hot loops ask often. */
const newYearDay = (year: number): DayNumber =>
  365 * (year - 1970) +
  Math.floor((year - 1969) / 4) -
  Math.floor((year - 1901) / 100) +
  Math.floor((year - 1601) / 400);

/** Calendar year of a day. @example yearOf(365) // 1971 */
export const yearOf = (day: DayNumber): number => {
  const guess = 1970 + Math.floor(day / 365.2425);
  if (day < newYearDay(guess)) return guess - 1;
  return day < newYearDay(guess + 1) ? guess : guess + 1;
};

/**
 * Day of the year, 1 to 366.
 * @example dayOfYear(31) // 32
 */
export const dayOfYear = (day: DayNumber): number => day - newYearDay(yearOf(day)) + 1;

/** `dayOfYear` of a run of days. @example daysOfYear(364, 2) // [365, 1] */
export const daysOfYear = (start: DayNumber, days: number): Uint16Array => {
  const out = new Uint16Array(days);
  let year = yearOf(start);
  let of = start - newYearDay(year);
  let length = newYearDay(year + 1) - newYearDay(year);
  for (let i = 0; i < days; i++) {
    if (of === length) {
      year++;
      of = 0;
      length = newYearDay(year + 1) - newYearDay(year);
    }
    of++;
    out[i] = of;
  }
  return out;
};

/** Days of a common year before each of its months, and of all of it. */
const DAYS_BEFORE = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];
const FEBRUARY = 1;

/**
 * Day number of a month and day in a year. A day that the month does not have becomes its last, as 29 February 28 February.
 * @param monthDay MM-DD
 * @example monthDayIn(1971, '01-01') // 365
 */
export const monthDayIn = (year: number, monthDay: string): DayNumber => {
  const month = Number(monthDay.slice(0, 2)) - 1;
  const wanted = Number(monthDay.slice(3, 5));
  const leapDay = newYearDay(year + 1) - newYearDay(year) - 365;
  const before = (DAYS_BEFORE[month] as number) + (month > FEBRUARY ? leapDay : 0);
  const end = (DAYS_BEFORE[month + 1] as number) + (month >= FEBRUARY ? leapDay : 0);
  return newYearDay(year) + Math.min(before + wanted, end) - 1;
};

/** Milliseconds since 1970 UTC at an hour of a UTC day; the one place where a day becomes an instant. */
export const instantMs = (day: DayNumber, utcHour: number): number => day * MS_PER_DAY + utcHour * 3_600_000;
