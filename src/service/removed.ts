import type { Store } from '../store/contract.ts';
import { mayGoOn } from '../store/pages.ts';
import { type Kept, PAGE } from './allRecords.ts';
import type { RecordKind } from './records/schema.ts';

/** A record that was removed, as it last stood; null where the farm never had it. */
export const removedRecord = async <T>(
  store: Pick<Store, 'history'>,
  farmId: string,
  kind: RecordKind,
  id: string,
): Promise<Kept<T> | null> => {
  let text: string | null = null;
  for (let after: number | null = null; ; ) {
    const entries = await store.history(farmId, { after, limit: PAGE, kind, id });
    text = entries.findLast((entry) => entry.text !== null)?.text ?? text;
    if (!mayGoOn(entries, PAGE)) return text === null ? null : { id, data: JSON.parse(text) as T };
    after = entries.at(-1)?.seq ?? null;
  }
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
