import { FixedOffsetZone, IANAZone } from 'luxon';

const MINUTE_MS = 60_000;

/** The last offset asked of each zone, and in which minute: every request asks what day it is. */
const offsets = new Map<string, { readonly minute: number; readonly offset: number }>();
const MOST_ZONES = 500;

/** Minutes by which a zone is ahead of UTC; they change between two minutes only. */
const offsetAt = (ms: number, timeZone: string): number => {
  const minute = Math.floor(ms / MINUTE_MS);
  const known = offsets.get(timeZone);
  if (known?.minute === minute) return known.offset;
  const offset = IANAZone.create(timeZone).offset(ms);
  if (offsets.size >= MOST_ZONES) offsets.clear();
  offsets.set(timeZone, { minute, offset });
  return offset;
};

/** Date and time of the clock on the wall, to the second. */
const wallText = (ms: number, minutes: number): string => new Date(ms + minutes * MINUTE_MS).toISOString().slice(0, 19);

/** The civil date at an instant in a zone. @example dateAt(0, 'America/Chicago') // '1969-12-31' */
export const dateAt = (ms: number, timeZone: string): string => wallText(ms, offsetAt(ms, timeZone)).slice(0, 10);

/**
 * An instant as ISO 8601 with the zone's offset. An outlook holds many, so no date object is made for each.
 * @example instantText(0, 'Europe/Berlin') // '1970-01-01T01:00:00+01:00'
 */
export const instantText = (ms: number, timeZone: string): string => {
  const minutes = offsetAt(ms, timeZone);
  return wallText(ms, minutes) + FixedOffsetZone.instance(minutes).formatOffset(ms, 'short');
};
