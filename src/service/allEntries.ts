import type { Entry, Store } from '../store/contract.ts';
import { mayGoOn } from '../store/pages.ts';
import { PAGE } from './allRecords.ts';
import type { RecordKind } from './records/schema.ts';

/** What was done to the records of a kind, or to one of them, oldest first, page after page. */
export async function* allEntries(
  store: Pick<Store, 'history'>,
  farmId: string,
  which: { readonly kind: RecordKind; readonly id?: string },
): AsyncGenerator<Entry, void> {
  for (let after: number | null = null; ; ) {
    const entries = await store.history(farmId, { after, limit: PAGE, ...which });
    yield* entries;
    if (!mayGoOn(entries, PAGE)) return;
    after = entries.at(-1)?.seq ?? null;
  }
}
