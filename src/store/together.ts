import { setImmediate as nextTurn } from 'node:timers/promises';
import { isWhitethreadError } from '../core/base/errors.ts';
import { storeError } from './errors.ts';
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
 * Writes of a database with one connection. Those that came at once, or while the disk was busy with others, are done one
 * after the other in one transaction, since to have the disk confirm it takes longer than all of them. None is told done before.
 * Where one of them is refused, each is tried again on its own, so that it does not take the others with it; `work` may
 * therefore run twice, the first time in vain.
 */
export const together = (db: Sql): Write => {
  const waiting: Waiting[] = [];
  let isRunning = false;

  const alone = ({ work, resolve, reject }: Waiting): Promise<void> =>
    db.transaction().execute(work).then(resolve, reject);

  const inOne = async (writes: readonly Waiting[]): Promise<void> => {
    try {
      const found = await db.transaction().execute(async (trx) => {
        const done: unknown[] = [];
        const since = performance.now();
        for (const { work } of writes) {
          if (done.length > 0 && performance.now() - since > MOST_MS) break;
          done.push(await work(trx));
        }
        return done;
      });
      for (const [i, done] of found.entries()) writes[i]?.resolve(done);
      waiting.unshift(...writes.slice(found.length));
    } catch (error) {
      if (isOfDatabase(error)) for (const { reject } of writes) reject(error);
      else for (const write of writes) await alone(write);
    }
  };

  const run = async (): Promise<void> => {
    isRunning = true;
    while (waiting.length > 0) {
      // Requests that came in at once have all got as far as here then. And nothing of a write waits for the system, so
      // that a queue of writes would leave no turn to anything else.
      await nextTurn();
      const [first, ...more] = waiting.splice(0, MOST);
      if (first !== undefined) await (more.length === 0 ? alone(first) : inOne([first, ...more]));
    }
    isRunning = false;
  };

  return <T>(work: (trx: Sql) => Promise<T>) =>
    new Promise<T>((resolve, reject) => {
      waiting.push({ work, resolve: resolve as Waiting['resolve'], reject });
      if (!isRunning) void run();
    });
};
