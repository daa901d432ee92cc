import type BetterSqlite from 'better-sqlite3';
import { storeError, storeRefusal } from './errors.ts';

/** How long SQLite itself waits for another process's write, with the thread held; `patiently` waits on. */
const BUSY_MS = 20;

/**
 * Opens a file with the driver, which is an optional package that is compiled for one Node.
 * @throws WhitethreadError 'store-unavailable', 'store-read-only', 'store-version'
 */
export const openNative = async (path: string, options?: BetterSqlite.Options): Promise<BetterSqlite.Database> => {
  const driver = await import('better-sqlite3').catch((cause: unknown) => {
    const allowed = 'the optional package better-sqlite3 installed, or a store on PostgreSQL';
    throw storeRefusal('store-unavailable', 'database', 'no driver for SQLite', allowed, cause);
  });
  try {
    return new driver.default(path, { timeout: BUSY_MS, ...options });
  } catch (cause) {
    if (cause instanceof driver.default.SqliteError) throw storeError(cause);
    const given = cause instanceof Error ? cause.message : String(cause);
    const allowed = 'a file in a folder that is there, and better-sqlite3 compiled for this Node (npm rebuild)';
    throw storeRefusal('store-unavailable', 'database', given, allowed, cause);
  }
};
