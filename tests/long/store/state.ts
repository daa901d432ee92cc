import { createHash } from 'node:crypto';
import Sqlite from 'better-sqlite3';

const tables = ['records', 'history', 'replays', 'api_keys', 'source_answers'] as const;

export type State = {
  /** Rows by table. */
  readonly counts: Readonly<Record<string, number>>;
  /** SHA-256 of everything in them. */
  readonly checksum: string;
  /** What SQLite's own examination says; 'ok' when the file is whole. */
  readonly integrity: unknown;
  /** Rows without their entry in the history, or history without its row or removal: parts of a write. */
  readonly parts: number;
};

const PARTS = `
  select count(*) from records left join (
    select farm_id, kind, id, max(seq) as seq from history group by farm_id, kind, id
  ) using (farm_id, kind, id) left join history using (seq)
  where history.version is not records.version or history.text is not records.text
  union all
  select count(*) from history where action <> 'remove' and not exists (
    select 1 from history later where (later.farm_id, later.kind, later.id) = (history.farm_id, history.kind, history.id)
      and later.seq > history.seq
  ) and not exists (
    select 1 from records where (records.farm_id, records.kind, records.id) = (history.farm_id, history.kind, history.id)
  )
  union all
  select count(*) from replays where not exists (
    select 1 from history where (history.farm_id, history.kind, history.id) = (replays.farm_id, replays.kind, replays.id)
  )`;

/** What a database holds, and whether it is whole; opened by SQLite alone, as after a restart. */
export const stateOf = (path: string): State => {
  const native = new Sqlite(path);
  try {
    const hash = createHash('sha256');
    const counts: Record<string, number> = {};
    for (const table of tables) {
      counts[table] = 0;
      for (const row of native.prepare(`select * from ${table} order by rowid`).raw().iterate()) {
        counts[table]++;
        hash.update(JSON.stringify(row));
      }
    }
    return {
      counts,
      checksum: hash.digest('hex'),
      integrity: native.pragma('integrity_check', { simple: true }),
      parts: (native.prepare(PARTS).pluck().all() as number[]).reduce((sum, part) => sum + part, 0),
    };
  } finally {
    native.close();
  }
};
