import type { Database } from 'better-sqlite3';
import type { Selectable } from 'kysely';
import type { Key, Row, Store } from './contract.ts';
import { keyOf, rowOf } from './rows.ts';
import type { Tables } from './tables.ts';

/** So many rows and keys are kept, none of them longer than this. */
const MOST_KEPT = 4000;
const LONGEST = 32_768;

/**
 * Single rows and keys, kept in memory for as long as no connection, of this process or another, has committed anything:
 * SQLite's `data_version` tells. A read is then a comparison and a look-up.
 * @param reader a connection that never writes, or `data_version` would not tell of our own commits
 */
export const cachedReads = (reader: Database): Pick<Store, 'read' | 'key'> => {
  const dataVersion = reader.prepare('pragma data_version').pluck();
  const record = reader.prepare('select * from record where farm_id = ? and kind = ? and id = ?');
  const apiKey = reader.prepare('select * from api_key where id = ?');
  const rows = new Map<string, Row | null>();
  const keys = new Map<string, Key | null>();
  let known: unknown;

  const assertFresh = (): void => {
    const now = dataVersion.get();
    if (now === known && rows.size + keys.size < MOST_KEPT) return;
    rows.clear();
    keys.clear();
    known = now;
  };

  return {
    read: async (farmId, kind, id) => {
      assertFresh();
      const place = `${farmId}\n${kind}\n${id}`;
      const kept = rows.get(place);
      if (kept !== undefined) return kept;
      const found = record.get(farmId, kind, id) as Selectable<Tables['record']> | undefined;
      const row = found === undefined ? null : rowOf(found);
      if (row === null || row.text.length <= LONGEST) rows.set(place, row);
      return row;
    },
    key: async (id) => {
      assertFresh();
      const kept = keys.get(id);
      if (kept !== undefined) return kept;
      const found = apiKey.get(id) as Selectable<Tables['api_key']> | undefined;
      const key = found === undefined ? null : keyOf(found);
      keys.set(id, key);
      return key;
    },
  };
};
