import type { DayNumber } from '../core/base/day.ts';
import { MOST_PROBLEMS, type Problem } from '../core/base/errors.ts';

const MS_PER_DAY = 86_400_000;
const MIDNIGHT = '(?:[T ]00:00(?::00(?:\\.0+)?)?Z?)?';
const YEAR_FIRST = new RegExp(`^(\\d{4})([-/.]?)(\\d{1,2})\\2(\\d{1,2})${MIDNIGHT}$`);
const YEAR_AND_DAY = /^(\d{4})-(\d{3})$/;
const YEAR_LAST = new RegExp(`^(\\d{1,2})([-/.])(\\d{1,2})\\2(\\d{4})${MIDNIGHT}$`);

export type DateOrder = 'ymd' | 'mdy' | 'dmy';

/** Day of a civil date; NaN where the calendar has no such day, or the year is not from 1900 to 2100. */
const civilDay = (year: number, month: number, day: number): DayNumber => {
  const ms = Date.UTC(year, month - 1, day);
  const exists = new Date(ms).getUTCMonth() === month - 1 && day >= 1;
  return exists && year >= 1900 && year <= 2100 ? ms / MS_PER_DAY : Number.NaN;
};

const ordinalDay = (year: number, dayOfYear: number): DayNumber => {
  const ms = Date.UTC(year, 0, dayOfYear);
  const exists = dayOfYear >= 1 && new Date(ms).getUTCFullYear() === year;
  return exists && year >= 1900 && year <= 2100 ? ms / MS_PER_DAY : Number.NaN;
};

/**
 * Day of a date text in one order of its parts; NaN where it is none. Year first may also be YYYYMMDD or YYYY-DDD.
 * @example dateDay('31.12.1970', 'dmy') // 364
 */
export const dateDay = (text: string, order: DateOrder): DayNumber => {
  if (order === 'ymd') {
    const ordinal = YEAR_AND_DAY.exec(text);
    if (ordinal) return ordinalDay(Number(ordinal[1]), Number(ordinal[2]));
    const parts = YEAR_FIRST.exec(text);
    const unclear = parts?.[2] === '' && text.length !== 8 && !/[T ]/.test(text);
    return parts && !unclear ? civilDay(Number(parts[1]), Number(parts[3]), Number(parts[4])) : Number.NaN;
  }
  const parts = YEAR_LAST.exec(text);
  if (!parts) return Number.NaN;
  const [one, two] = [Number(parts[1]), Number(parts[3])];
  return order === 'mdy' ? civilDay(Number(parts[4]), one, two) : civilDay(Number(parts[4]), two, one);
};

const ISO_ADVICE = 'Write dates as YYYY-MM-DD, one row a day';

const unreadable = (text: string, line: number): Problem => ({
  code: 'weather-date',
  where: `line ${line}`,
  given: text === '' ? 'no date' : `date ${text}`,
  allowed: 'a day of the calendar from 1900 to 2100, written as in the rows before it',
  advice: ISO_ADVICE,
});

const unclear = (text: string): Problem => ({
  code: 'weather-date',
  where: 'column of dates',
  given: `${text} and the like, which can all be read as month/day and as day/month`,
  allowed: 'YYYY-MM-DD, or dates of which at least one tells the order',
  advice: 'Write dates as YYYY-MM-DD',
});

/** The order whose first unreadable date comes last: the one that the writer most likely meant. */
const bestOrder = (texts: readonly string[], orders: readonly DateOrder[]): DateOrder => {
  const reach = orders.map((order) => {
    const failed = texts.findIndex((text) => Number.isNaN(dateDay(text, order)));
    return failed < 0 ? texts.length : failed;
  });
  return orders[reach.indexOf(Math.max(...reach))] as DateOrder;
};

/**
 * Days of a whole column of dates, all in one order. 03/04/2020 is only read when another row of the file tells month
 * from day.
 * @param lines line of each text in the file, for the problems
 */
export const datesDays = (
  texts: readonly string[],
  lines: readonly number[],
  asked?: 'mdy' | 'dmy',
): { readonly days: readonly DayNumber[]; readonly problems: readonly Problem[] } => {
  const first = texts[0] ?? '';
  const yearLast: readonly DateOrder[] = asked ? [asked] : ['mdy', 'dmy'];
  const orders: readonly DateOrder[] = YEAR_LAST.test(first) ? yearLast : ['ymd'];
  // Each date stands in a large file once for every station: read it once.
  const distinct = [...new Set(texts)];
  const fits = orders.filter((order) => distinct.every((text) => !Number.isNaN(dateDay(text, order))));
  if (fits.length > 1) return { days: [], problems: [unclear(first)] };
  const order = fits[0] ?? bestOrder(distinct, orders);
  const dayOf = new Map(distinct.map((text) => [text, dateDay(text, order)]));
  const days = texts.map((text) => dayOf.get(text) as DayNumber);
  const problems: Problem[] = [];
  for (let i = 0; i < days.length && problems.length < MOST_PROBLEMS; i++)
    if (Number.isNaN(days[i])) problems.push(unreadable(texts[i] as string, lines[i] as number));
  return { days, problems };
};
