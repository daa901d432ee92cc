import type BetterSqlite from 'better-sqlite3';
import {
  type Dialect,
  SqliteAdapter,
  type SqliteDatabase,
  SqliteDriver,
  SqliteIntrospector,
  SqliteQueryCompiler,
} from 'kysely';

/** Different statements that the store asks; many times as many as there are, so that nothing grows without end. */
const MOST_STATEMENTS = 200;

/** Statements that were prepared before: to prepare one costs more than to run it. */
const preparing = (native: BetterSqlite.Database): SqliteDatabase => {
  const prepared = new Map<string, BetterSqlite.Statement>();
  return {
    prepare: (sql) => {
      const known = prepared.get(sql) ?? native.prepare(sql);
      if (prepared.size >= MOST_STATEMENTS) prepared.clear();
      prepared.set(sql, known);
      return known as ReturnType<SqliteDatabase['prepare']>;
    },
    close: () => native.close(),
  };
};

/**
 * SQLite for kysely, with three differences from its own: a transaction takes the right to write when it begins, so that it
 * cannot fail halfway because another process writes; one that SQLite has already rolled back, as it does when the disk
 * is full, is not rolled back again, which would hide why; and statements are kept. Whoever begins waits for other processes,
 * so that the one connection is free meanwhile.
 */
export const sqliteDialect = (native: BetterSqlite.Database): Dialect => ({
  createAdapter: () => new SqliteAdapter(),
  createIntrospector: (db) => new SqliteIntrospector(db),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createDriver: () => {
    const driver = new SqliteDriver({ database: preparing(native) });
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
