import type BetterSqlite from 'better-sqlite3';
import { type Dialect, SqliteAdapter, SqliteDriver, SqliteIntrospector, SqliteQueryCompiler } from 'kysely';

/**
 * SQLite for kysely, with two differences from its own: a transaction takes the right to write when it begins, so that it
 * cannot fail halfway because another process writes; and one that SQLite has already rolled back, as it does when the disk
 * is full, is not rolled back again, which would hide why.
 */
export const sqliteDialect = (native: BetterSqlite.Database): Dialect => ({
  createAdapter: () => new SqliteAdapter(),
  createIntrospector: (db) => new SqliteIntrospector(db),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createDriver: () => {
    const driver = new SqliteDriver({ database: native });
    driver.beginTransaction = async () => {
      native.exec('begin immediate');
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
