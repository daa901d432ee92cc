import { FixedOffsetZone, IANAZone } from 'luxon';

const MINUTE_MS = 60_000;

const DAY_MS = 86_400_000;

/** Bounds of what is kept, far beyond what a group of farms asks for. */
const MOST_ZONES = 500;
const MOST_DAYS = 400;
/** By zone and day, the minutes by which the zone is ahead of UTC when the day begins by UTC. To ask costs more than the rest of a text. */
const midnights = new Map<string, Map<number, number>>();

const atMidnight = (day: number, timeZone: string): number => {
  const ofZone = midnights.get(timeZone) ?? new Map<number, number>();
  const known = ofZone.get(day);
  if (known !== undefined) return known;
  const minutes = IANAZone.create(timeZone).offset(day * DAY_MS);
  if (ofZone.size >= MOST_DAYS) ofZone.clear();
  if (midnights.size >= MOST_ZONES) midnights.clear();
  midnights.set(timeZone, ofZone.set(day, minutes));
  return minutes;
};

/** Minutes by which a zone is ahead of UTC. No zone goes there and back within a day. */
const offsetAt = (ms: number, timeZone: string): number => {
  const day = Math.floor(ms / DAY_MS);
  const begins = atMidnight(day, timeZone);
  return begins === atMidnight(day + 1, timeZone) ? begins : IANAZone.create(timeZone).offset(ms);
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
