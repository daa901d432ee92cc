import { DateTime } from 'luxon';
import type { OpenBand } from '../core/outlook/schema.ts';

const english = (isoDate: string): DateTime => DateTime.fromISO(isoDate, { zone: 'utc', locale: 'en-GB' });

/** @example dateText('2026-05-12') // '12 May' */
export const dateText = (isoDate: string): string => english(isoDate).toFormat('d MMM');

/** @example longDateText('2026-05-12') // 'Tue 12 May 2026' */
export const longDateText = (isoDate: string): string => english(isoDate).toFormat('ccc d MMM yyyy');

/** @example weekdayText('2026-05-12') // 'Tue 12 May' */
export const weekdayText = (isoDate: string): string => english(isoDate).toFormat('ccc d MMM');

/** @example spanText('2026-05-07', '2026-05-17') // '7 to 17 May' */
export const spanText = (from: string, to: string): string =>
  `${from.slice(0, 7) === to.slice(0, 7) ? Number(from.slice(8)) : dateText(from)} to ${dateText(to)}`;

/**
 * A date never stands alone: what is expected, and between which days it may fall.
 * @example bandText({ date: '2026-05-12', earliest: '2026-05-07', latest: '2026-05-17' }) // '12 May (7 to 17 May)'
 * @example bandText({ date: '2026-05-12', earliest: '2026-05-07', latest: null }) // '12 May (7 May or later)'
 */
export const bandText = ({ date, earliest, latest }: OpenBand): string =>
  `${dateText(date)} (${latest === null ? `${dateText(earliest)} or later` : spanText(earliest, latest)})`;

/** Clock time of an instant as written by `instantText`. @example clockText('1970-01-01T01:00:00+01:00') // '01:00' */
export const clockText = (instant: string): string => instant.slice(11, 16);
