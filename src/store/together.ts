import { setImmediate as nextTurn } from 'node:timers/promises';
import { sql } from 'kysely';
import { isWhitethreadError } from '../core/base/errors.ts';
import { storeError } from './errors.ts';
import { patiently } from './patience.ts';
import type { Sql } from './tables.ts';

/** So many writes share a transaction at most, and after so long no further one is begun in it: the thread is held. */
const MOST = 16;
const MOST_MS = 10;

export type Write = <T>(work: (trx: Sql) => Promise<T>) => Promise<T>;

type Waiting = {
  readonly work: (trx: Sql) => Promise<unknown>;
  readonly resolve: (found: unknown) => void;
  readonly reject: (error: unknown) => void;
};

/** Whether the database itself has failed, so that no other write would fare better. */
const isOfDatabase = (error: unknown): boolean => {
  const known = storeError(error);
  return isWhitethreadError(known) && known.code.startsWith('store-');
};

/**
 * Does one write of several so that it alone is undone where it is refused. Gives what is to be told once the disk has
 * confirmed all of them.
 */
const apart = async (trx: Sql, { work, resolve, reject }: Waiting): Promise<() => void> => {
  await sql`savepoint one`.execute(trx);
  const tell = await work(trx).then(
    (found) => () => resolve(found),
    async (error) => {
      if (isOfDatabase(error)) throw error;
      await sql`rollback to one`.execute(trx);
      return () => reject(error);
    },
  );
  await sql`release one`.execute(trx);
  return tell;
};

/**
 * Writes of a database with one connection. Those that came at once, or while the disk was busy with others, are done one
 * after the other in one transaction, since to have the disk confirm it takes longer than all of them. None is told done
 * before, and one that is refused takes no other with it.
 * @param busyMs how long to wait for another process's write; others read meanwhile
 * @param nowMs any clock
 */
export const together = (db: Sql, busyMs: number, nowMs = () => performance.now()): Write => {
  const waiting: Waiting[] = [];
  let isRunning = false;

  const doneOf = async (trx: Sql, writes: readonly Waiting[]): Promise<readonly (() => void)[]> => {
    const done: (() => void)[] = [];
    const since = nowMs();
    for (const write of writes) {
      if (done.length > 0 && nowMs() - since > MOST_MS) break;
      done.push(await apart(trx, write));
    }
    return done;
  };

  const inOne = async (writes: readonly Waiting[]): Promise<void> => {
    try {
      const told = await patiently(() => db.transaction().execute((trx) => doneOf(trx, writes)), busyMs);
      waiting.unshift(...writes.slice(told.length));
      for (const tell of told) tell();
    } catch (error) {
      for (const { reject } of writes) reject(error);
    }
  };

  const run = async (): Promise<void> => {
    isRunning = true;
    while (waiting.length > 0) {
      // Requests that came in at once have all got as far as here then. And nothing of a write waits for the system, so
      // that a queue of writes would leave no turn to anything else.
      await nextTurn();
      await inOne(waiting.splice(0, MOST));
    }
    isRunning = false;
  };

  return <T>(work: (trx: Sql) => Promise<T>) =>
    new Promise<T>((resolve, reject) => {
      waiting.push({ work, resolve: resolve as Waiting['resolve'], reject });
      if (!isRunning) void run();
    });
};
