import type { Store } from '../store/contract.ts';
import { allEntries } from './allEntries.ts';
import type { Kept } from './allRecords.ts';
import type { RecordKind } from './records/schema.ts';

/** A record that was removed, as it last stood; null where the farm never had it. */
export const removedRecord = async <T>(
  store: Pick<Store, 'history'>,
  farmId: string,
  kind: RecordKind,
  id: string,
): Promise<Kept<T> | null> => {
  let last: string | null = null;
  for await (const { text } of allEntries(store, farmId, { kind, id })) last = text ?? last;
  return last === null ? null : { id, data: JSON.parse(last) as T };
};

/**
 * Records by id with those that others name and that are gone, as they last stood: what was done stays as it was written.
 * @param there all that the farm has of the kind
 * @param named ids, undefined where none is named
 */
export const alsoRemoved = async <T>(
  store: Pick<Store, 'history'>,
  farmId: string,
  kind: RecordKind,
  there: readonly Kept<T>[],
  named: readonly (string | undefined)[],
): Promise<ReadonlyMap<string, Kept<T>>> => {
  const found = new Map(there.map((record) => [record.id, record]));
  for (const id of new Set(named)) {
    const gone = id === undefined || found.has(id) ? null : await removedRecord<T>(store, farmId, kind, id);
    if (gone !== null) found.set(gone.id, gone);
  }
  return found;
};
