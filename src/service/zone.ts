import { DateTime, FixedOffsetZone, IANAZone } from 'luxon';

const MINUTE_MS = 60_000;

/** The civil date at an instant in a zone. @example dateAt(0, 'America/Chicago') // '1969-12-31' */
export const dateAt = (ms: number, timeZone: string): string =>
  DateTime.fromMillis(ms, { zone: timeZone }).toFormat('yyyy-MM-dd');

/**
 * An instant as ISO 8601 with the zone's offset. An outlook holds many, so no date object is made for each.
 * @example instantText(0, 'Europe/Berlin') // '1970-01-01T01:00:00+01:00'
 */
export const instantText = (ms: number, timeZone: string): string => {
  const minutes = IANAZone.create(timeZone).offset(ms);
  const local = new Date(ms + minutes * MINUTE_MS).toISOString().slice(0, 19);
  return local + FixedOffsetZone.instance(minutes).formatOffset(ms, 'short');
};
