import { stat } from 'node:fs/promises';
import { setImmediate as nextTurn, setTimeout as pause } from 'node:timers/promises';
import { expect, test } from 'vitest';
import type { Row, Store } from '../../src/store/contract.ts';
import { remembered } from '../../src/store/remembered.ts';

const row = (id: string, length: number): Row => ({
  farmId: 'f',
  kind: 'field',
  id,
  parentId: null,
  text: 'x'.repeat(length),
  version: 1,
  createdAtMs: 1,
  changedAtMs: 1,
});

/** A store of which only `read` and `change` are used; counts what reaches it. */
const world = (length: number, characters = 10_000) => {
  const asked: string[] = [];
  let version = 0;
  let hold: Promise<void> | null = null;
  const inner = {
    read: async (farmId: string, kind: string, id: string) => {
      asked.push(`${farmId}/${kind}/${id}`);
      const found = row(id, length);
      await hold;
      return id === 'none' ? null : found;
    },
    change: async () => {
      throw new Error('the disk is full');
    },
    key: async () => null,
    ...Object.fromEntries(['create', 'remove', 'addKey', 'revokeKey'].map((name) => [name, async () => {}])),
  } as unknown as Store;
  const store = remembered(inner, () => version, characters);
  /** Another process writes. */
  const otherWritesNow = () => {
    version += 1;
  };
  /** What it was asked for was answered before a turn of ours began: the one after that which is under way. */
  const otherWrites = async () => {
    otherWritesNow();
    await nextTurn();
    await nextTurn();
  };
  const held = (promise: Promise<void> | null) => {
    hold = promise;
  };
  return { store, asked, otherWrites, otherWritesNow, held };
};

test('a row that was read is not asked for again until someone writes', async () => {
  const { store, asked, otherWrites } = world(10);
  for (let i = 0; i < 3; i++) await store.read('f', 'field', 'a');
  expect(asked).toHaveLength(1);
  await otherWrites();
  for (let i = 0; i < 3; i++) await store.read('f', 'field', 'a');
  expect(asked).toHaveLength(2);
  await store.remove('f', 'field', 'b', 1, { keyId: 'k', atMs: 1 });
  await store.read('f', 'field', 'a');
  expect(asked).toHaveLength(2);
  await store.remove('f', 'field', 'a', 1, { keyId: 'k', atMs: 1 });
  await store.read('f', 'field', 'a');
  expect(asked).toHaveLength(3);
  await store.remove('f', 'farm', 'f', 1, { keyId: 'k', atMs: 1 });
  await store.read('f', 'field', 'a');
  expect(asked).toHaveLength(4);
});

test('what comes in from outside finds what another wrote before, in whichever phase of the loop it was read last', async () => {
  const { store, asked, otherWritesNow } = world(10);
  const somethingComesIn = () => stat(new URL(import.meta.url));
  for (const begin of [() => pause(1), somethingComesIn, () => nextTurn()])
    for (let times = 1; times <= 20; times++) {
      await begin();
      await store.read('f', 'field', 'a');
      const before = asked.length;
      otherWritesNow();
      await somethingComesIn();
      await store.read('f', 'field', 'a');
      expect(asked).toHaveLength(before + 1);
    }
});

test('a write that failed forgets as well: nobody knows what of it was kept', async () => {
  const { store, asked } = world(10);
  await store.read('f', 'field', 'a');
  await expect(store.change(row('a', 1), 1, { keyId: 'k', atMs: 1 })).rejects.toThrow('full');
  await store.read('f', 'field', 'a');
  expect(asked).toHaveLength(2);
});

test('a read that was under way while someone wrote is not remembered', async () => {
  for (const how of ['own', 'other'] as const) {
    const { store, asked, otherWrites, held } = world(10);
    let release = (): void => {};
    held(
      new Promise((done) => {
        release = done;
      }),
    );
    const reading = store.read('f', 'field', 'a');
    if (how === 'own') await store.remove('f', 'field', 'b', 1, { keyId: 'k', atMs: 1 });
    else await otherWrites();
    release();
    held(null);
    await reading;
    await store.read('f', 'field', 'a');
    expect(asked).toHaveLength(2);
  }
});

test('places whose parts run together stay apart', async () => {
  const { store, asked } = world(10);
  for (const [farm, kind, id] of [
    ['ab', 'c', 'd'],
    ['a', 'bc', 'd'],
    ['a', 'b', 'cd'],
    ['1 1 a', 'b', 'cd'],
  ] as const)
    await store.read(farm, kind, id);
  expect(new Set(asked).size).toBe(4);
});

test('memory is bounded: it holds what fits, forgets all when full, and never keeps what is larger than itself', async () => {
  const { store, asked } = world(1000, 10_000);
  for (let round = 0; round < 2; round++) for (let i = 0; i < 7; i++) await store.read('f', 'field', `id${i}`);
  expect(asked).toHaveLength(7);
  for (let i = 0; i < 8; i++) await store.read('f', 'field', `id${i}`);
  await store.read('f', 'field', 'id0');
  expect(asked).toHaveLength(9);
  const large = world(20_000, 10_000);
  for (let i = 0; i < 3; i++) await large.store.read('f', 'field', 'a');
  expect(large.asked).toHaveLength(3);
});

test('that there is no such row is asked each time: ids that are tried out take no room', async () => {
  const { store, asked } = world(10);
  for (let i = 0; i < 3; i++) expect(await store.read('f', 'field', 'none')).toBeNull();
  expect(asked).toHaveLength(3);
});
