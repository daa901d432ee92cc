import type { Database, Statement } from 'better-sqlite3';
import type { SqliteDatabase } from 'kysely';

const MOST_KEPT = 200;

/**
 * A connection as the query builder uses it: statements are prepared once, a transaction takes its turn to write at its
 * beginning, and is not rolled back a second time where SQLite has done so itself, as it does when the disk is full.
 */
export const statements = (database: Database): SqliteDatabase => {
  const prepared = new Map<string, Statement>();
  const prepare = (text: string): Statement => {
    const kept = prepared.get(text);
    if (kept !== undefined) return kept;
    if (prepared.size >= MOST_KEPT) prepared.clear();
    const made = database.prepare(text);
    prepared.set(text, made);
    return made;
  };
  return {
    prepare: (text) => {
      if (text === 'begin') return prepare('begin immediate');
      if (text === 'rollback' && !database.inTransaction) return prepare('select 1');
      return prepare(text);
    },
    close: () => {
      database.close();
    },
  };
};
