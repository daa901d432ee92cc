import { FixedOffsetZone, IANAZone } from 'luxon';

const MINUTE_MS = 60_000;

const DAY_MS = 86_400_000;

/** A day by UTC in a zone: minutes by which the zone is ahead when it begins and when it ends. */
type ZoneDay = { readonly day: number; readonly begins: number; readonly ends: number };
/** The last day asked of each zone: an outlook goes from day to day, and every request asks what day it is. */
const zoneDays = new Map<string, ZoneDay>();
const MOST_ZONES = 500;

const zoneDay = (day: number, timeZone: string): ZoneDay => {
  const known = zoneDays.get(timeZone);
  if (known?.day === day) return known;
  const zone = IANAZone.create(timeZone);
  const begins = known?.day === day - 1 ? known.ends : zone.offset(day * DAY_MS);
  const found = { day, begins, ends: zone.offset((day + 1) * DAY_MS) };
  if (zoneDays.size >= MOST_ZONES) zoneDays.clear();
  zoneDays.set(timeZone, found);
  return found;
};

/** Minutes by which a zone is ahead of UTC. No zone goes there and back within a day. */
const offsetAt = (ms: number, timeZone: string): number => {
  const { begins, ends } = zoneDay(Math.floor(ms / DAY_MS), timeZone);
  return begins === ends ? begins : IANAZone.create(timeZone).offset(ms);
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
