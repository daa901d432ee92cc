import type BetterSqlite from 'better-sqlite3';
import { Kysely } from 'kysely';
import { backup } from './backup.ts';
import type { Store } from './contract.ts';
import { storeError, storeRefusal } from './errors.ts';
import { migrate } from './migrations.ts';
import { remembered } from './remembered.ts';
import { sqlStore } from './sql.ts';
import { sqliteDialect } from './sqliteDialect.ts';
import type { Tables, Traits } from './tables.ts';

/** What SQLite can and cannot do. */
export const sqliteTraits: Traits = { text: 'text', counter: 'integer', rowLocks: false };

/** How long a write waits for another process's, ms. */
const BUSY_MS = 5_000;
const FULL = 2;

const unavailable = (given: string, allowed: string, cause?: unknown) =>
  storeRefusal('store-unavailable', 'database', given, allowed, cause);

/**
 * Opens the file with the driver that is an optional package, compiled for one Node.
 * @throws WhitethreadError 'store-unavailable'
 */
export const openNative = async (path: string, options?: BetterSqlite.Options): Promise<BetterSqlite.Database> => {
  const driver = await import('better-sqlite3').catch((cause: unknown) => {
    throw unavailable('no package better-sqlite3', 'the package installed, or a store on PostgreSQL', cause);
  });
  try {
    return new driver.default(path, { timeout: BUSY_MS, ...options });
  } catch (cause) {
    if (cause instanceof driver.default.SqliteError) throw storeError(cause);
    const given = cause instanceof Error ? cause.message : String(cause);
    throw unavailable(given, 'a file in a folder that is there, and better-sqlite3 compiled for this Node', cause);
  }
};

/** Settings on which durability rests; each is asked back. */
const prepare = (native: BetterSqlite.Database): void => {
  const set = (pragma: string, value: string | number, wanted: unknown = value): void => {
    native.pragma(`${pragma} = ${value}`);
    const found = native.pragma(pragma, { simple: true });
    if (found !== wanted) throw unavailable(`${pragma} ${found}`, `a file on a disk of this machine, ${pragma} ${wanted}`);
  };
  set('journal_mode', 'wal');
  // The driver's own choice under WAL may lose acknowledged writes when the power fails.
  set('synchronous', 'FULL', FULL);
  set('foreign_keys', 1);
};

/** The store on an open database, which it closes. */
export const sqliteStore = async (native: BetterSqlite.Database): Promise<Store> => {
  const db = new Kysely<Tables>({ dialect: sqliteDialect(native) });
  try {
    prepare(native);
    // One transaction around all of it: of two processes that start, the second finds the work done.
    native.exec('begin immediate');
    await migrate(db, sqliteTraits);
    native.exec('commit');
    const version = native.prepare<[], number>('pragma data_version').pluck();
    const store = remembered(sqlStore(db, sqliteTraits), () => version.get() ?? 0);
    return { ...store, backup: (path) => backup(native.name, path) };
  } catch (thrown) {
    native.close();
    throw storeError(thrown);
  }
};

/**
 * The embedded database: one file, one machine, any number of processes on it.
 * @throws WhitethreadError 'store-unavailable', 'store-full', 'store-read-only', 'store-version'
 */
export const openSqlite = async ({ path }: { readonly path: string }): Promise<Store> =>
  sqliteStore(await openNative(path));
