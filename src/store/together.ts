import { isWhitethreadError } from '../core/base/errors.ts';
import type { Sql } from './tables.ts';

/** So many writes keep the thread for some milliseconds. */
const MOST = 16;

export type Write = <T>(work: (trx: Sql) => Promise<T>) => Promise<T>;

type Waiting = {
  readonly work: (trx: Sql) => Promise<unknown>;
  readonly resolve: (found: unknown) => void;
  readonly reject: (error: unknown) => void;
};

/**
 * Writes of a database with one connection. Those that came while the disk was busy with others are done one after the
 * other in one transaction, since to have the disk confirm it takes longer than all of them. None is told done before.
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
        for (const { work } of writes) done.push(await work(trx));
        return done;
      });
      for (const [i, { resolve }] of writes.entries()) resolve(found[i]);
    } catch (error) {
      if (isWhitethreadError(error)) for (const write of writes) await alone(write);
      else for (const { reject } of writes) reject(error);
    }
  };

  const run = async (): Promise<void> => {
    isRunning = true;
    while (waiting.length > 0) {
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
