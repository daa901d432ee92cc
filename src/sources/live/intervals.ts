import { Interval as Luxon } from 'luxon';
import type { DayNumber } from '../../core/base/day.ts';
import { civilDay, dayStartMs } from './days.ts';
import { malformed } from './failure.ts';
import type { GridLayer } from './schema.ts';

/** A value for a stretch of time; null where the source left it open. */
export type Interval = { readonly startMs: number; readonly endMs: number; readonly value: number | null };

const DAY_MS = 86_400_000;
const LONGEST_MS = 16 * DAY_MS;

/**
 * The values of a layer as instants, in order of time. A duration's day has 24 hours: the times are UTC.
 * @throws Failure 'source-malformed' for what is no ISO 8601 interval, and for intervals that overlap
 */
export const intervals = (id: string, name: string, layer: GridLayer | undefined): Interval[] => {
  const list = (layer?.values ?? []).map(({ validTime, value }): Interval => {
    const { start, end } = Luxon.fromISO(validTime, { zone: 'utc' });
    const startMs = start?.toMillis() ?? Number.NaN;
    const endMs = end?.toMillis() ?? Number.NaN;
    if (!(endMs > startMs && endMs - startMs <= LONGEST_MS))
      throw malformed(id, name, validTime, 'an ISO 8601 interval');
    return { startMs, endMs, value };
  });
  list.sort((a, b) => a.startMs - b.startMs);
  const overlap = list.find(({ startMs }, i) => startMs < (list[i - 1]?.endMs ?? startMs));
  if (overlap !== undefined) throw malformed(id, name, 'intervals that overlap', 'one after another');
  return list;
};

const shared = ({ startMs, endMs }: Interval, fromMs: number, toMs: number): number =>
  Math.max(0, Math.min(endMs, toMs) - Math.max(startMs, fromMs));

/** A layer over a stretch of time: whether all of it has a value, how much of it has, and the sum of value x time. */
const over = (list: readonly Interval[], fromMs: number, toMs: number, weight: (interval: Interval) => number) => {
  let coveredMs = 0;
  let total = 0;
  for (const interval of list) {
    const ms = interval.value === null ? 0 : shared(interval, fromMs, toMs);
    coveredMs += ms;
    total += ms * (interval.value ?? 0) * weight(interval);
  }
  return { isWhole: coveredMs === toMs - fromMs, coveredMs, total };
};

const edges = (day: DayNumber, timeZone: string) => [dayStartMs(day, timeZone), dayStartMs(day + 1, timeZone)] as const;
/** Amounts fell evenly within their interval. */
const evenly = ({ startMs, endMs }: Interval): number => 1 / (endMs - startMs);

/** Sum over a civil day of amounts; null unless all of the day is covered. */
export const daySum = (list: readonly Interval[], day: DayNumber, timeZone: string): number | null => {
  const { isWhole, total } = over(list, ...edges(day, timeZone), evenly);
  return isWhole ? total : null;
};

/** What a civil day brings at least, of which the first hours may be missing; null unless all of it from now on is covered. */
export const leastSum = (list: readonly Interval[], day: DayNumber, timeZone: string, nowMs: number): number | null => {
  const [fromMs, toMs] = edges(day, timeZone);
  const isKnown = over(list, Math.max(fromMs, Math.min(nowMs, toMs)), toMs, evenly).isWhole;
  return isKnown ? over(list, fromMs, toMs, evenly).total : null;
};

/** Mean over a civil day; null unless all of the day is covered. */
export const dayMean = (list: readonly Interval[], day: DayNumber, timeZone: string): number | null => {
  const { isWhole, total, coveredMs } = over(list, ...edges(day, timeZone), () => 1);
  return isWhole ? total / coveredMs : null;
};

/**
 * One value a civil day from a layer that has one a day, such as the highest temperature between 7 and 20 h. It belongs
 * to the day in which the middle of its interval falls: for the night's lowest, the day of the morning. Days of equal
 * values come merged: 37 hours are 13 hours of two days.
 */
export const dailyValues = (
  list: readonly Interval[],
  timeZone: string,
  pick: (...values: number[]) => number,
): Map<DayNumber, number> => {
  const found = new Map<DayNumber, number>();
  for (const { startMs, endMs, value } of list) {
    if (value === null) continue;
    const days = Math.ceil((endMs - startMs) / DAY_MS);
    const halfMs = (endMs - startMs - (days - 1) * DAY_MS) / 2;
    for (let k = 0; k < days; k++) {
      const day = civilDay(startMs + k * DAY_MS + halfMs, timeZone);
      found.set(day, pick(value, found.get(day) ?? value));
    }
  }
  return found;
};
