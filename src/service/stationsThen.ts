import { type DayNumber, isoDate } from '../core/base/day.ts';
import type { Entry, Store } from '../store/contract.ts';
import { allEntries } from './allEntries.ts';
import type { Kept } from './allRecords.ts';
import { nearestFirst } from './fieldStation.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';
import { dateAt } from './zone.ts';

/** When something was written: its place in the history of the farm, and the day there. */
type Written = { readonly seq: number; readonly date: string };

/** A station as it stands or last stood, and when it was there and when gone. */
export type StationLife = Kept<StationRecord> & { readonly life: readonly (Written & Pick<Entry, 'action'>)[] };

/** Every station that a farm has or had. */
export const stationLives = async (
  store: Pick<Store, 'history'>,
  farmId: string,
  timeZone: string,
): Promise<readonly StationLife[]> => {
  const lives = new Map<string, StationLife>();
  for await (const { id, text, seq, atMs, action } of allEntries(store, farmId, { kind: 'station' })) {
    const before = lives.get(id);
    const data = text === null ? before?.data : (JSON.parse(text) as StationRecord);
    const life = [...(before?.life ?? []), { seq, date: dateAt(atMs, timeZone), action }];
    if (data !== undefined) lives.set(id, { id, data, life });
  }
  return [...lives.values()];
};

type Named = Written & Pick<FieldRecord, 'stationId'>;

const namedBy = async (
  store: Pick<Store, 'history'>,
  farmId: string,
  timeZone: string,
  fieldId: string,
): Promise<readonly Named[]> => {
  const named: Named[] = [];
  for await (const { text, seq, atMs } of allEntries(store, farmId, { kind: 'field', id: fieldId }))
    if (text !== null)
      named.push({ seq, date: dateAt(atMs, timeZone), stationId: (JSON.parse(text) as FieldRecord).stationId });
  return named;
};

/**
 * The stations that the record of a field may stand on, by day and the best first, so that it stays as it is whether stations
 * come or go later, but for one that is moved, whose place of today counts: as they were on the evening of the day, or when
 * the field was entered, if that was later. Then the field named one, before others that it named at any time, the last first;
 * or it named none, and had the nearest that was there, before others; where none was there yet, those in the order in which
 * they came.
 */
export const stationsThen = async (
  store: Pick<Store, 'history'>,
  farmId: string,
  timeZone: string,
  { id, data }: Kept<FieldRecord>,
  stations: readonly StationLife[],
): Promise<(day: DayNumber) => readonly StationLife[]> => {
  const named = await namedBy(store, farmId, timeZone, id);
  const enteredSeq = named[0]?.seq ?? 0;
  const near = nearestFirst(data, stations);
  return (day) => {
    const isThen = ({ seq, date }: Written): boolean => seq <= enteredSeq || date <= isoDate(day);
    const own = named.findLast(isThen)?.stationId;
    if (own !== undefined) {
      const ids = new Set([own, ...named.map(({ stationId }) => stationId).toReversed()]);
      return [...ids].flatMap((stationId) => stations.filter((station) => station.id === stationId));
    }
    const wasThere = ({ life }: StationLife): boolean => (life.findLast(isThen)?.action ?? 'remove') !== 'remove';
    const there = near.filter(wasThere);
    if (there.length === 0) return stations;
    return [...there, ...near.filter((station) => !wasThere(station))];
  };
};
