import { setImmediate as nextTurn } from 'node:timers/promises';
import type BetterSqlite from 'better-sqlite3';
import { type Dialect, SqliteAdapter, SqliteDriver, SqliteIntrospector, SqliteQueryCompiler } from 'kysely';
import { patiently } from './patience.ts';

/**
 * SQLite for kysely, with two differences from its own: a transaction takes the right to write when it begins, so that it
 * cannot fail halfway because another process writes; and one that SQLite has already rolled back, as it does when the disk
 * is full, is not rolled back again, which would hide why.
 * @param busyMs how long to wait for another process's write
 */
export const sqliteDialect = (native: BetterSqlite.Database, busyMs: number): Dialect => ({
  createAdapter: () => new SqliteAdapter(),
  createIntrospector: (db) => new SqliteIntrospector(db),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createDriver: () => {
    const driver = new SqliteDriver({ database: native });
    driver.beginTransaction = async () => {
      // Nothing of a write waits for the system, so a queue of writes would leave no turn to anything else.
      await nextTurn();
      await patiently(() => {
        native.exec('begin immediate');
      }, busyMs);
    };
    driver.rollbackTransaction = async () => {
      if (native.inTransaction) native.exec('rollback');
    };
    driver.destroy = async () => {
      // The one connection is free once writes under way have ended.
      await driver.acquireConnection();
      native.close();
      await driver.releaseConnection();
    };
    return driver;
  },
});
