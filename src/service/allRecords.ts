import type { Store } from '../store/contract.ts';
import { mayGoOn } from '../store/pages.ts';

/** A record with its id. */
export type Kept<T> = { readonly id: string; readonly data: T };

/** So many rows are asked for at a time, at most. */
export const PAGE = 500;

/** All records of a kind, page after page. */
export const allRecords = async <T>(store: Pick<Store, 'list'>, farmId: string, kind: string): Promise<Kept<T>[]> => {
  const found: Kept<T>[] = [];
  for (let after: string | null = null; ; ) {
    const rows = await store.list(farmId, kind, { after, limit: PAGE });
    found.push(...rows.map(({ id, text }) => ({ id, data: JSON.parse(text) as T })));
    if (!mayGoOn(rows, PAGE)) return found;
    after = rows.at(-1)?.id ?? null;
  }
};
