import { DateTime } from 'luxon';
import type { OpenBand } from '../core/outlook/schema.ts';

const english = (isoDate: string): DateTime => DateTime.fromISO(isoDate, { zone: 'utc', locale: 'en-GB' });

/**
 * @param near a date whose year goes without saying
 * @example dateText('2026-05-12', '2026-04-30') // '12 May'
 * @example dateText('2025-10-12', '2026-04-30') // '12 Oct 2025'
 */
export const dateText = (isoDate: string, near: string): string =>
  english(isoDate).toFormat(isoDate.slice(0, 4) === near.slice(0, 4) ? 'd MMM' : 'd MMM yyyy');

/** @example longDateText('2026-05-12') // 'Tue 12 May 2026' */
export const longDateText = (isoDate: string): string => english(isoDate).toFormat('ccc d MMM yyyy');

/** @example weekdayText('2026-05-12') // 'Tue 12 May' */
export const weekdayText = (isoDate: string): string => english(isoDate).toFormat('ccc d MMM');

/**
 * @param near as in `dateText`
 * @example spanText('2026-05-07', '2026-05-17', '2026-05-01') // '7 to 17 May'
 */
export const spanText = (from: string, to: string, near: string): string =>
  `${from.slice(0, 7) === to.slice(0, 7) ? Number(from.slice(8)) : dateText(from, near)} to ${dateText(to, near)}`;

/**
 * A date never stands alone: what is expected, and between which days it may fall. The days between are near the date.
 * @param today whose year goes without saying
 * @example bandText({ date: '2026-05-12', earliest: '2026-05-07', latest: '2026-05-17' }, '2026-05-01') // '12 May (7 to 17 May)'
 * @example bandText({ date: '2026-05-12', earliest: '2026-05-07', latest: null }, '2026-05-01') // '12 May (7 May or later)'
 */
export const bandText = ({ date, earliest, latest }: OpenBand, today: string): string =>
  `${dateText(date, today)} (${latest === null ? `${dateText(earliest, date)} or later` : spanText(earliest, latest, date)})`;

/**
 * Clock time of an instant as written by `instantText`, with its date where that is another than the day's: so it is where
 * the clock is far from the sun.
 * @example clockText('1970-01-01T01:00:00+01:00', '1970-01-01') // '01:00'
 * @example clockText('1969-12-31T19:18:00+00:00', '1970-01-01') // '1969-12-31 19:18'
 */
export const clockText = (instant: string, day: string): string => {
  const [date, time] = [instant.slice(0, 10), instant.slice(11, 16)];
  return date === day ? time : `${date} ${time}`;
};
