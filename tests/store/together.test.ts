import { expect, test } from 'vitest';
import { storeRefusal } from '../../src/store/errors.ts';
import type { Sql } from '../../src/store/tables.ts';
import { together } from '../../src/store/together.ts';

type Log = string[];
/** A database of which only transactions are used: what one wrote stands in `kept` once it is committed. */
const world = (failing: { commit: Error | null } = { commit: null }) => {
  const kept: string[] = [];
  const transactions: Log[] = [];
  let open: Log | null = null;
  const execute = async (work: (trx: Sql) => Promise<unknown>): Promise<unknown> => {
    expect(open).toBeNull();
    open = [];
    try {
      const found = await work(open as unknown as Sql);
      await new Promise((resolve) => setTimeout(resolve, 1));
      if (failing.commit !== null) throw failing.commit;
      kept.push(...(open ?? []));
      transactions.push(open ?? []);
      return found;
    } finally {
      open = null;
    }
  };
  const write = together({ transaction: () => ({ execute }) } as unknown as Sql);
  const put = (word: string) =>
    write(async (trx) => {
      (trx as unknown as Log).push(word);
      return word.toUpperCase();
    });
  const fail = (error: unknown) =>
    write(async (trx): Promise<never> => {
      (trx as unknown as Log).push('half');
      throw error;
    });
  const refuse = () => fail(storeRefusal('version-conflict', 'field', 'version 1', 'version 2'));
  /** Holds the thread for longer than a transaction may go on. */
  const slow = (word: string, meanwhile = () => {}) =>
    write(async (trx) => {
      (trx as unknown as Log).push(word);
      meanwhile();
      for (const until = performance.now() + 12; performance.now() < until; );
    });
  return { kept, transactions, put, refuse, fail, slow };
};

const words = (count: number): string[] => Array.from({ length: count }, (_, i) => `w${i}`);

test('writes that come at once share a confirmation of the disk, in order, each with its own answer', async () => {
  const { kept, transactions, put } = world();
  expect(await Promise.all(words(10).map(put))).toEqual(words(10).map((word) => word.toUpperCase()));
  expect(kept).toEqual(words(10));
  expect(transactions.map((one) => one.length)).toEqual([10]);
});

test('writes that come while the disk is busy share its next confirmation', async () => {
  const { kept, transactions, put, slow } = world();
  let rest: Promise<string[]> | undefined;
  await slow('first', () => {
    rest = Promise.all(words(9).map(put));
  });
  await rest;
  expect(kept).toEqual(['first', ...words(9)]);
  expect(transactions.map((one) => one.length)).toEqual([1, 9]);
});

test('no more than sixteen share one, and none is forgotten', async () => {
  const { kept, transactions, put } = world();
  await Promise.all(words(40).map(put));
  expect(kept).toEqual(words(40));
  expect(Math.max(...transactions.map((one) => one.length))).toBe(16);
});

test('writes that take long do not hold the thread for all of them: the rest waits for the next', async () => {
  const { kept, transactions, slow } = world();
  await Promise.all(words(6).map((word) => slow(word)));
  expect(kept).toEqual(words(6));
  expect(transactions.length).toBeGreaterThan(2);
});

test('one that fails for a reason of its own takes no other with it', async () => {
  const { kept, put, fail } = world();
  const found = await Promise.allSettled([
    put('a'),
    put('b'),
    fail(Object.assign(new Error('UNIQUE constraint failed'), { code: 'SQLITE_CONSTRAINT_UNIQUE' })),
    put('c'),
  ]);
  expect(found.map(({ status }) => status)).toEqual(['fulfilled', 'fulfilled', 'rejected', 'fulfilled']);
  expect(kept).toEqual(['a', 'b', 'c']);
});

test('none is told done before the disk has confirmed it', async () => {
  const { kept, put } = world();
  const first = put('first');
  const told: string[] = [];
  const rest = ['a', 'b'].map((word) =>
    put(word).then(() => {
      told.push(...(kept.includes(word) ? [] : [word]));
    }),
  );
  await Promise.all([first, ...rest]);
  expect(told).toEqual([]);
});

test('one that is refused leaves nothing and takes no other with it', async () => {
  const { kept, put, refuse } = world();
  const found = await Promise.allSettled([put('a'), put('b'), refuse(), put('c')]);
  expect(found.map(({ status }) => status)).toEqual(['fulfilled', 'fulfilled', 'rejected', 'fulfilled']);
  expect(found[2]).toMatchObject({ reason: { code: 'version-conflict' } });
  expect(kept).toEqual(['a', 'b', 'c']);
});

test('where the disk fails, all that waited for it are told so, and the next ones are tried', async () => {
  const failing: { commit: Error | null } = { commit: Object.assign(new Error('disk full'), { code: 'SQLITE_FULL' }) };
  const { kept, put } = world(failing);
  const found = await Promise.allSettled(words(4).map(put));
  expect(found.map(({ status }) => status)).toEqual(new Array(4).fill('rejected'));
  expect(kept).toEqual([]);
  failing.commit = null;
  expect(await put('later')).toBe('LATER');
});
