import { Kysely, sql } from 'kysely';
import { expect, test } from 'vitest';
import { storeRefusal } from '../../src/store/errors.ts';
import { openNative } from '../../src/store/native.ts';
import { sqliteDialect } from '../../src/store/sqliteDialect.ts';
import type { Sql, Tables } from '../../src/store/tables.ts';
import { together } from '../../src/store/together.ts';

/** A database in memory that keeps words, each with the number of the transaction that wrote it. */
const world = async () => {
  const native = await openNative(':memory:');
  native.exec('create table words (word text unique, trx integer)');
  let trx = 0;
  const exec = native.exec.bind(native);
  native.exec = (source) => {
    if (source === 'begin immediate') trx++;
    return exec(source);
  };
  const db = new Kysely<Tables>({ dialect: sqliteDialect(native) });
  const clock = { ms: 0 };
  const write = together(db, 0, () => clock.ms);
  const written = async (on: Sql, word: string): Promise<string> => {
    await sql`insert into words values (${word}, ${trx})`.execute(on);
    return word.toUpperCase();
  };
  const put = (word: string) => write((on) => written(on, word));
  const refuse = (word: string) =>
    write(async (on): Promise<never> => {
      await written(on, word);
      throw storeRefusal('version-conflict', 'field', 'version 1', 'version 2');
    });
  /** Holds the thread for longer than a transaction may go on. */
  const slow = (word: string, meanwhile = () => {}) =>
    write(async (on) => {
      meanwhile();
      clock.ms += 12;
      return written(on, word);
    });
  const kept = () => native.prepare('select word from words order by rowid').pluck().all();
  /** How many words each transaction kept. */
  const shares = () => native.prepare('select count(*) from words group by trx order by trx').pluck().all() as number[];
  return { native, put, refuse, slow, kept, shares };
};

const words = (count: number): string[] => Array.from({ length: count }, (_, i) => `w${i}`);
const statuses = (found: readonly PromiseSettledResult<unknown>[]) => found.map(({ status }) => status);

test('writes that come at once share a confirmation of the disk, in order, each with its own answer', async () => {
  const { kept, shares, put } = await world();
  expect(await Promise.all(words(10).map(put))).toEqual(words(10).map((word) => word.toUpperCase()));
  expect(kept()).toEqual(words(10));
  expect(shares()).toEqual([10]);
});

test('writes that come while the disk is busy share its next confirmation', async () => {
  const { kept, shares, put, slow } = await world();
  let rest: Promise<string[]> | undefined;
  await slow('first', () => {
    rest = Promise.all(words(9).map(put));
  });
  await rest;
  expect(kept()).toEqual(['first', ...words(9)]);
  expect(shares()).toEqual([1, 9]);
});

test('no more than sixteen share one, and none is forgotten', async () => {
  const { kept, shares, put } = await world();
  await Promise.all(words(40).map(put));
  expect(kept()).toEqual(words(40));
  expect(shares()).toEqual([16, 16, 8]);
});

test('writes that take long do not hold the thread for all of them: the rest waits for the next', async () => {
  const { kept, shares, slow } = await world();
  await Promise.all(words(6).map((word) => slow(word)));
  expect(kept()).toEqual(words(6));
  expect(shares()).toEqual([1, 1, 1, 1, 1, 1]);
});

test('one that fails for a reason of its own takes no other with it', async () => {
  const { kept, shares, put } = await world();
  const found = await Promise.allSettled([put('a'), put('b'), put('a'), put('c')]);
  expect(statuses(found)).toEqual(['fulfilled', 'fulfilled', 'rejected', 'fulfilled']);
  expect(found[2]).toMatchObject({ reason: { code: 'SQLITE_CONSTRAINT_UNIQUE' } });
  expect(kept()).toEqual(['a', 'b', 'c']);
  expect(shares()).toEqual([3]);
});

test('one that is refused leaves nothing, and the others are done once', async () => {
  const { kept, shares, put, refuse } = await world();
  const found = await Promise.allSettled([put('a'), refuse('b'), put('c'), refuse('d'), put('e')]);
  expect(statuses(found)).toEqual(['fulfilled', 'rejected', 'fulfilled', 'rejected', 'fulfilled']);
  expect(found[1]).toMatchObject({ reason: { code: 'version-conflict' } });
  expect(kept()).toEqual(['a', 'c', 'e']);
  expect(shares()).toEqual([3]);
});

test('none is told done before the disk has confirmed it', async () => {
  const { native, put } = await world();
  const isOpen = await Promise.all(words(3).map((word) => put(word).then(() => native.inTransaction)));
  expect(isOpen).toEqual([false, false, false]);
});

test('where the disk fails, all that waited for it are told so, and the next ones are tried', async () => {
  const { native, kept, put } = await world();
  native.pragma(`max_page_count = ${native.pragma('page_count', { simple: true })}`);
  const found = await Promise.allSettled([put('a'), put('b'.repeat(100_000)), put('c')]);
  expect(statuses(found)).toEqual(new Array(3).fill('rejected'));
  expect(found[0]).toMatchObject({ reason: { code: 'SQLITE_FULL' } });
  expect(kept()).toEqual([]);
  native.pragma('max_page_count = 100000');
  expect(await put('later')).toBe('LATER');
});
