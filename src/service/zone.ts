import { DateTime } from 'luxon';

/** The civil date at an instant in a zone. @example dateAt(0, 'America/Chicago') // '1969-12-31' */
export const dateAt = (ms: number, timeZone: string): string =>
  DateTime.fromMillis(ms, { zone: timeZone }).toFormat('yyyy-MM-dd');

/** An instant as ISO 8601 with the zone's offset. @example instantText(0, 'Europe/Berlin') // '1970-01-01T01:00:00+01:00' */
export const instantText = (ms: number, timeZone: string): string =>
  (DateTime.fromMillis(ms, { zone: timeZone }).toISO({ suppressMilliseconds: true }) ?? '').replace(/Z$/, '+00:00');
