import { access, constants } from 'node:fs/promises';
import { dirname } from 'node:path';
import type BetterSqlite from 'better-sqlite3';
import { Kysely } from 'kysely';
import type { Store } from './contract.ts';
import { storeError, storeRefusal } from './errors.ts';
import { migrate } from './migrations.ts';
import { openNative } from './native.ts';
import { patiently } from './patience.ts';
import { remembered } from './remembered.ts';
import { sqlStore } from './sql.ts';
import { sqliteDialect } from './sqliteDialect.ts';
import type { Tables, Traits } from './tables.ts';
import { together } from './together.ts';

/** What SQLite can and cannot do. */
export const sqliteTraits: Traits = { text: 'text', counter: 'integer', rowLocks: false };

/** How long a write waits for another process's. */
const BUSY_MS = 5_000;

/** Settings on which durability rests; each is asked back. */
const durable = (native: BetterSqlite.Database): void => {
  const set = (pragma: string, value: string | number, wanted: string | number = value): void => {
    native.pragma(`${pragma} = ${value}`);
    const found = native.pragma(pragma, { simple: true });
    if (found === wanted) return;
    const allowed = `${wanted}, as on a disk of this machine`;
    throw storeRefusal('store-unavailable', `database, ${pragma}`, String(found), allowed);
  };
  set('journal_mode', 'wal');
  // Under WAL the driver itself would take NORMAL, which may lose acknowledged writes when the power fails.
  set('synchronous', 'full', 2);
  set('foreign_keys', 1);
};

/** A number that changes when another connection has written. */
const dataVersionOf = (native: BetterSqlite.Database): (() => number) => {
  const asked = native.prepare<[], number>('pragma data_version').pluck();
  return () => {
    try {
      return asked.get() as number;
    } catch (thrown) {
      throw storeError(thrown);
    }
  };
};

/**
 * The store on an open database, which it closes when it ends, also badly.
 * @param busyMs how long a write waits for another process's
 * @throws as `openSqlite`
 */
export const sqliteStore = async (native: BetterSqlite.Database, busyMs = BUSY_MS): Promise<Store> => {
  const db = new Kysely<Tables>({ dialect: sqliteDialect(native) });
  try {
    await patiently(() => durable(native), busyMs);
    // One transaction around all of it: of two processes that start at once, the later one finds the work done.
    await patiently(() => {
      native.exec('begin immediate');
    }, busyMs);
    await migrate(db, sqliteTraits);
    native.exec('commit');
    return remembered(sqlStore(db, sqliteTraits, together(db, busyMs)), dataVersionOf(native));
  } catch (thrown) {
    native.close();
    throw storeError(thrown);
  }
};

/** SQLite needs to write beside the file too, and says of either only that it cannot open it. */
const mayWrite = async (path: string): Promise<void> => {
  for (const place of [path, dirname(path)])
    await access(place, constants.W_OK).catch((thrown: unknown) => {
      // What is not there yet is made, or missed by SQLite.
      if ((thrown as NodeJS.ErrnoException).code !== 'ENOENT') throw storeError(thrown);
    });
};

/**
 * The embedded database: one file on a disk of this machine, any number of processes on it.
 * @throws WhitethreadError 'store-unavailable', 'store-full', 'store-read-only', 'store-version'
 */
export const openSqlite = async ({ path }: { readonly path: string }): Promise<Store> => {
  await mayWrite(path);
  return sqliteStore(await openNative(path));
};
