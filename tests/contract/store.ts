import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type ErrorCode, isWhitethreadError, whitethreadError } from '../../src/core/base/errors.ts';
import {
  ALL_FARMS,
  type Check,
  type Entry,
  FARM,
  type Key,
  type NewRow,
  type Once,
  type Row,
  type Store,
} from '../../src/store/contract.ts';
import { mayGoOn } from '../../src/store/pages.ts';

const stamp = { keyId: 'key-a', atMs: 1_780_000_000_000 };
const later = { keyId: 'key-b', atMs: 1_780_000_060_000 };
const page = { after: null, limit: 100 };

/** The code of the error that a promise ends with; 'none' when it does not. */
export const codeOf = (promise: Promise<unknown>): Promise<string> =>
  promise.then(
    () => 'none',
    (error: unknown) => (isWhitethreadError(error) ? error.code : String(error)),
  );

/** The farm's own row. */
export const farmRow = (farmId: string): NewRow => ({ farmId, kind: FARM, id: farmId, parentId: null, text: '{}' });

export type Opened = {
  readonly store: Store;
  readonly reopen: () => Promise<Store>;
  readonly drop: () => Promise<void>;
};

/**
 * Every sentence of the contract; each adapter runs it.
 * @param open an empty store, a second store on the same rows, and what to do in the end
 */
export const storeContract = (name: string, open: () => Promise<Opened>): void => {
  describe(`${name} keeps the contract of a store`, () => {
    let opened: Opened;
    let store: Store;
    let made = 0;
    const newFarm = async (): Promise<string> => {
      const id = `farm${String(made++).padStart(6, '0')}`;
      await store.create(farmRow(id), stamp);
      return id;
    };
    const row = (farmId: string, id: string, more: Partial<NewRow> = {}): NewRow => ({
      farmId,
      kind: 'field',
      id,
      parentId: null,
      text: `{"name":"${id}"}`,
      ...more,
    });
    const once = (key: string, hash = 'h'): Once => ({ scope: 'key-a', key: `${key}-${made}`, hash });
    const key = (id: string, farmId: string | null, more: Partial<Key> = {}): Key => ({
      id,
      farmId,
      role: farmId === null ? 'operator' : 'planner',
      label: 'tests',
      secretHash: 'ab'.repeat(32),
      createdAtMs: stamp.atMs,
      expiresAtMs: null,
      revokedAtMs: null,
      ...more,
    });
    const count = async (farmId: string) => (await store.list(farmId, 'field', page)).length;

    beforeAll(async () => {
      opened = await open();
      store = opened.store;
    });
    afterAll(async () => {
      await store.close();
      await opened.drop();
    });

    test('a row is null before it is made, and then read as it was made, at version 1', async () => {
      const farm = await newFarm();
      expect(await store.read(farm, 'field', 'a')).toBeNull();
      const given = row(farm, 'a', { parentId: 'p', text: '{"ü":"鋤 🌱 \\u0000"}' });
      const wanted = { ...given, version: 1, createdAtMs: stamp.atMs, changedAtMs: stamp.atMs };
      expect(await store.create(given, stamp)).toEqual({ row: wanted, replayed: false });
      expect(await store.read(farm, 'field', 'a')).toEqual(wanted);
      expect(await store.read(farm, 'field', 'a')).toEqual(wanted);
      expect(await store.read(farm, 'crew', 'a')).toBeNull();
    });

    test('an id that is taken is a version-conflict, and the row stays as it was', async () => {
      const farm = await newFarm();
      const { row: first } = await store.create(row(farm, 'a'), stamp);
      expect(await codeOf(store.create(row(farm, 'a', { text: '{}' }), later))).toBe('version-conflict');
      expect(await store.read(farm, 'field', 'a')).toEqual(first);
      expect(await store.history(farm, { ...page, kind: 'field' })).toHaveLength(1);
    });

    test('nothing is written into a farm that there is not: no row, no key, no replay', async () => {
      const name = once('nowhere');
      expect(await codeOf(store.create(row('nowhere', 'a'), stamp, name))).toBe('not-found');
      expect(await codeOf(store.create(row(ALL_FARMS, 'a'), stamp))).toBe('not-found');
      expect(await codeOf(store.addKey(key('k-nowhere', 'nowhere')))).toBe('not-found');
      expect(await store.key('k-nowhere')).toBeNull();
      expect(await store.history('nowhere', page)).toEqual([]);
      const farm = await newFarm();
      expect((await store.create(row(farm, 'a'), stamp, { ...name, hash: 'other' })).replayed).toBe(false);
    });

    test('a text of 4 MB comes back whole, also from the list and the history', async () => {
      const farm = await newFarm();
      const text = JSON.stringify({ long: 'wéather '.repeat(524_288) });
      await store.create(row(farm, 'a', { text }), stamp);
      const texts = [
        (await store.read(farm, 'field', 'a'))?.text,
        (await store.list(farm, 'field', page))[0]?.text,
        (await store.history(farm, { ...page, kind: 'field' }))[0]?.text,
      ];
      expect(texts.every((found) => found === text)).toBe(true);
    });

    test('a page ends with the row that brings its texts to 4 MiB, counted in bytes, and what follows comes with the next', async () => {
      const farm = await newFarm();
      const mebibyte = 'é'.repeat(524_288);
      const sizes = [1, 1, 1, 1, 5, 2, 2, 1];
      for (const [i, size] of sizes.entries()) {
        await store.create(row(farm, `r${i}`, { parentId: 'p', text: mebibyte.repeat(size) }), stamp);
        await store.create(row(farm, `s${i}`, { kind: 'crew', text: mebibyte }), stamp);
      }
      await store.remove(farm, 'field', 'r7', 1, stamp);
      const pages = async (
        ask: (last: Row | Entry | undefined) => Promise<readonly (Row | Entry)[]>,
        limit: number,
      ) => {
        const found: string[] = [];
        for (let rows = await ask(undefined); ; rows = await ask(rows.at(-1))) {
          found.push(rows.map(({ id }) => id).join(' '));
          if (!mayGoOn(rows, limit)) return found;
        }
      };
      const list = (limit: number, parent?: string) =>
        pages((last) => store.list(farm, 'field', { after: last?.id ?? null, limit }, parent), limit);
      const history = (limit: number) =>
        pages((last) => {
          const after = last !== undefined && 'seq' in last ? last.seq : null;
          return store.history(farm, { after, limit, kind: 'field' });
        }, limit);
      expect(await list(100)).toEqual(['r0 r1 r2 r3', 'r4', 'r5 r6', '']);
      expect(await list(100, 'p')).toEqual(['r0 r1 r2 r3', 'r4', 'r5 r6', '']);
      expect(await list(3)).toEqual(['r0 r1 r2', 'r3 r4', 'r5 r6', '']);
      expect(await history(100)).toEqual(['r0 r1 r2 r3', 'r4', 'r5 r6', 'r7 r7']);
      expect(await history(3)).toEqual(['r0 r1 r2', 'r3 r4', 'r5 r6', 'r7 r7']);
    });

    test('no question reaches the rows of another farm', async () => {
      const [mine, other] = [await newFarm(), await newFarm()];
      await store.create(row(mine, 'a', { parentId: 'p' }), stamp);
      expect(await store.read(other, 'field', 'a')).toBeNull();
      expect(await store.read(ALL_FARMS, 'field', 'a')).toBeNull();
      expect(await store.list(other, 'field', page)).toEqual([]);
      expect(await store.list(other, 'field', page, 'p')).toEqual([]);
      expect(await store.list(ALL_FARMS, 'field', page)).toEqual([]);
      expect(await store.history(ALL_FARMS, page)).toEqual([]);
      expect((await store.history(other, page)).map(({ kind }) => kind)).toEqual([FARM]);
      expect(await codeOf(store.change(row(other, 'a'), 1, stamp))).toBe('not-found');
      expect(await codeOf(store.remove(other, 'field', 'a', 1, stamp))).toBe('not-found');
      expect((await store.read(mine, 'field', 'a'))?.version).toBe(1);
    });

    test('a list goes on after the last id seen, in the order of bytes, by kind, and by parent where one is named', async () => {
      const farm = await newFarm();
      for (const id of ['c', 'a', 'b', 'd', 'Z', 'é'])
        await store.create(row(farm, id, { parentId: id < 'c' ? 'p' : 'q' }), stamp);
      await store.create(row(farm, 'x', { kind: 'crew' }), stamp);
      const ids = async (after: string | null, limit: number, parent?: string) =>
        (await store.list(farm, 'field', { after, limit }, parent)).map(({ id }) => id).join('');
      expect(await ids(null, 3)).toBe('Zab');
      expect(await ids('b', 9)).toBe('cdé');
      expect(await ids('é', 9)).toBe('');
      expect(await ids(null, 9, 'q')).toBe('cdé');
      expect(await ids('c', 1, 'q')).toBe('d');
    });

    test('a change needs the version that stands: a writer that comes late gets a conflict that names it', async () => {
      const farm = await newFarm();
      await store.create(row(farm, 'a'), stamp);
      const changed = await store.change(row(farm, 'a', { text: '{"n":2}', parentId: 'q' }), 1, later);
      expect(changed).toEqual({
        ...row(farm, 'a', { text: '{"n":2}', parentId: 'q' }),
        version: 2,
        createdAtMs: stamp.atMs,
        changedAtMs: later.atMs,
      });
      expect(await store.read(farm, 'field', 'a')).toEqual(changed);
      await expect(store.change(row(farm, 'a'), 1, later)).rejects.toThrow('the version that stands, 2');
      expect(await codeOf(store.remove(farm, 'field', 'a', 1, later))).toBe('version-conflict');
      expect(await codeOf(store.change(row(farm, 'b'), 1, later))).toBe('not-found');
      expect(await codeOf(store.remove(farm, 'field', 'b', 1, later))).toBe('not-found');
      expect(await store.read(farm, 'field', 'a')).toEqual(changed);
    });

    test('a change may be meant for one of several versions, for whichever stands, or for none', async () => {
      const farm = await newFarm();
      await store.create(row(farm, 'a'), stamp);
      expect((await store.change(row(farm, 'a'), [7, 1], later)).version).toBe(2);
      expect((await store.change(row(farm, 'a'), '*', later)).version).toBe(3);
      for (const meant of [[], [1, 2]])
        await expect(store.change(row(farm, 'a'), meant, later)).rejects.toThrow('the version that stands, 3');
      await store.remove(farm, 'field', 'a', '*', later);
      for (const meant of [[], '*'] as const)
        expect(await codeOf(store.change(row(farm, 'a'), meant, later))).toBe('not-found');
    });

    test('50 writers: one wins per version, the others conflict, and the last version counts the wins', async () => {
      const farm = await newFarm();
      await store.create(row(farm, 'a'), stamp);
      const won: number[] = [];
      const writer = async (): Promise<void> => {
        for (let tries = 0; tries < 3; tries++) {
          const version = (await store.read(farm, 'field', 'a'))?.version ?? 0;
          const code = await codeOf(store.change(row(farm, 'a'), version, later));
          expect(['none', 'version-conflict']).toContain(code);
          if (code === 'none') won.push(version);
        }
      };
      await Promise.all(Array.from({ length: 50 }, writer));
      expect(won.length).toBeGreaterThan(0);
      expect(new Set(won).size).toBe(won.length);
      expect((await store.read(farm, 'field', 'a'))?.version).toBe(won.length + 1);
      expect(await store.history(farm, { after: null, limit: 1000, id: 'a' })).toHaveLength(won.length + 1);
    });

    test('history holds who did what when, oldest first, also of what is gone', async () => {
      const farm = await newFarm();
      await store.create(row(farm, 'a'), stamp);
      await store.change(row(farm, 'a', { text: '{"n":2}' }), 1, later);
      await store.create(row(farm, 'b'), stamp);
      await store.remove(farm, 'field', 'a', 2, later);
      const told = await store.history(farm, page);
      expect(told.map(({ seq: _, ...entry }) => Object.values(entry))).toEqual([
        [FARM, farm, 1, 'create', 'key-a', stamp.atMs, '{}'],
        ['field', 'a', 1, 'create', 'key-a', stamp.atMs, '{"name":"a"}'],
        ['field', 'a', 2, 'change', 'key-b', later.atMs, '{"n":2}'],
        ['field', 'b', 1, 'create', 'key-a', stamp.atMs, '{"name":"b"}'],
        ['field', 'a', 3, 'remove', 'key-b', later.atMs, null],
      ]);
      expect(await store.read(farm, 'field', 'a')).toBeNull();
      const seqs = told.map(({ seq }) => seq);
      expect(seqs).toEqual([...seqs].sort((one, other) => one - other));
      expect((await store.history(farm, { after: seqs[2] ?? 0, limit: 1 })).map(({ id }) => id)).toEqual(['b']);
      expect(await store.history(farm, { ...page, kind: 'field', id: 'a' })).toHaveLength(3);
      expect(await store.history(farm, { ...page, kind: 'crew' })).toEqual([]);
    });

    test('what was taken away can be made again, at version 1', async () => {
      const farm = await newFarm();
      await store.create(row(farm, 'a'), stamp);
      await store.remove(farm, 'field', 'a', 1, later);
      expect((await store.create(row(farm, 'a'), later)).row.version).toBe(1);
      expect((await store.read(farm, 'field', 'a'))?.createdAtMs).toBe(later.atMs);
    });

    test('a request sent twice makes one row and gives it as it was made, whatever became of it', async () => {
      const farm = await newFarm();
      const name = once('twice');
      const first = await store.create(row(farm, 'a', { parentId: 'p' }), stamp, name);
      await store.change(row(farm, 'a', { text: '{}', parentId: 'q' }), 1, later);
      expect(await store.create(row(farm, 'b'), later, name)).toEqual({ row: first.row, replayed: true });
      await store.remove(farm, 'field', 'a', 2, later);
      await store.create(row(farm, 'a', { text: '{"another":1}' }), later);
      expect(await store.create(row(farm, 'b'), later, name)).toEqual({ row: first.row, replayed: true });
      expect(await count(farm)).toBe(1);
      expect(await codeOf(store.create(row(farm, 'c'), later, { ...name, hash: 'other' }))).toBe('replay-mismatch');
      expect((await store.create(row(farm, 'd'), later, { ...name, scope: 'key-b' })).replayed).toBe(false);
    });

    test('a request that came before is known by its row as it was made, another is not, and another request is refused', async () => {
      const farm = await newFarm();
      const name = once('known');
      expect(await store.replay(name)).toBeNull();
      const first = await store.create(row(farm, 'a', { parentId: 'p' }), stamp, name);
      await store.change(row(farm, 'a', { text: '{}', parentId: 'q' }), 1, later);
      expect(await store.replay(name)).toEqual(first.row);
      await store.remove(farm, 'field', 'a', 2, later);
      expect(await store.replay(name)).toEqual(first.row);
      expect(await store.replay({ ...name, scope: 'key-b' })).toBeNull();
      expect(await codeOf(store.replay({ ...name, hash: 'other' }))).toBe('replay-mismatch');
    });

    test('100 equal requests at once: exactly one row, and all get it', async () => {
      const farm = await newFarm();
      const name = once('storm');
      const all = await Promise.all(
        Array.from({ length: 100 }, (_, i) => store.create(row(farm, `id${i}`), stamp, name)),
      );
      expect(all.filter(({ replayed }) => !replayed)).toHaveLength(1);
      for (const one of all) expect(one.row).toEqual(all[0]?.row);
      expect(await store.list(farm, 'field', page)).toEqual([all[0]?.row]);
      expect(await store.history(farm, { ...page, kind: 'field' })).toHaveLength(1);
    });

    test('100 equal requests for a new farm, from two processes’ stores: exactly one farm', async () => {
      const name = once('farm-storm');
      const second = await opened.reopen();
      const all = await Promise.all(
        Array.from({ length: 100 }, (_, i) =>
          [store, second][i % 2]?.create(farmRow(`storm-${made}-${i}`), stamp, name),
        ),
      );
      await second.close();
      expect(all.filter((one) => one?.replayed === false)).toHaveLength(1);
      expect(new Set(all.map((one) => one?.row.id)).size).toBe(1);
      const farms = await store.list(ALL_FARMS, FARM, { after: 'storm', limit: 200 });
      expect(farms.filter(({ id }) => id.startsWith(`storm-${made}-`))).toHaveLength(1);
    });

    test('a request that failed leaves no replay behind, and a forgotten one is made anew', async () => {
      const farm = await newFarm();
      await store.create(row(farm, 'a'), stamp);
      const name = once('failed');
      expect(await codeOf(store.create(row(farm, 'a'), stamp, name))).toBe('version-conflict');
      expect((await store.create(row(farm, 'b'), stamp, name)).replayed).toBe(false);
      await store.forgetReplays(stamp.atMs);
      expect((await store.create(row(farm, 'c'), stamp, name)).replayed).toBe(true);
      await store.forgetReplays(stamp.atMs + 1);
      expect((await store.create(row(farm, 'c'), stamp, name)).replayed).toBe(false);
    });

    test('farms are listed together, page by page', async () => {
      const farms = [await newFarm(), await newFarm(), await newFarm()] as const;
      const ids = async (after: string, limit: number) =>
        (await store.list(ALL_FARMS, FARM, { after, limit })).map(({ id }) => id).filter((id) => id.startsWith('farm'));
      expect(await ids(farms[0], 2)).toEqual([farms[1], farms[2]]);
      expect(await ids(farms[0], 1)).toEqual([farms[1]]);
      expect(await store.list(farms[0], FARM, page)).toHaveLength(1);
    });

    test('a farm that goes takes its rows, history and replays and ends its keys; that it went and the other farms stay', async () => {
      const [one, two] = [await newFarm(), await newFarm()];
      const name = (farm: string) => ({ scope: farm, key: 'a', hash: 'h' });
      for (const farm of [one, two]) {
        await store.create(row(farm, 'a'), stamp, name(farm));
        await store.create(row(farm, 'x', { kind: 'crew' }), stamp);
        await store.addKey(key(`key-${farm}`, farm));
      }
      await store.addKey(key(`ended-${one}`, one, { revokedAtMs: 7 }));
      expect(await codeOf(store.remove(one, FARM, one, 2, later))).toBe('version-conflict');
      expect(await count(one)).toBe(1);
      await store.remove(one, FARM, one, 1, later);
      expect(await store.read(one, FARM, one)).toBeNull();
      expect(await store.read(one, 'field', 'a')).toBeNull();
      expect(await store.list(one, 'crew', page)).toEqual([]);
      expect((await store.keys(one)).map(({ revokedAtMs }) => revokedAtMs)).toEqual([7, later.atMs]);
      expect((await store.key(`key-${two}`))?.revokedAtMs).toBeNull();
      expect(await count(two)).toBe(1);
      const told = (await store.history(one, page)).map(({ seq: _, ...entry }) => Object.values(entry));
      expect(told).toEqual([[FARM, one, 2, 'remove', later.keyId, later.atMs, null]]);
      expect(await store.history(two, page)).toHaveLength(3);
      expect(await store.replay(name(one))).toBeNull();
      expect((await store.replay(name(two)))?.id).toBe('a');
      expect(await codeOf(store.create(row(one, 'b'), later))).toBe('not-found');
    });

    test('rows that are made while their farm goes are refused or go with it', async () => {
      const farm = await newFarm();
      const making = Array.from({ length: 20 }, (_, i) => codeOf(store.create(row(farm, `id${i}`), stamp)));
      const going = codeOf(store.remove(farm, FARM, farm, 1, later));
      const after = Array.from({ length: 20 }, (_, i) => codeOf(store.create(row(farm, `late${i}`), stamp)));
      const codes = new Set(await Promise.all([...making, ...after]));
      expect(await going).toBe('none');
      expect([...codes].filter((code) => code !== 'none' && code !== 'not-found')).toEqual([]);
      expect(await count(farm)).toBe(0);
      expect((await store.history(farm, { after: null, limit: 1000 })).at(-1)?.action).toBe('remove');
    });

    describe('a check within a write', () => {
      const refuse = (code: ErrorCode): never => {
        throw whitethreadError([{ code, where: 'check', given: 'this', allowed: 'nothing' }]);
      };
      const refused = async () => refuse('in-use');

      test('that refuses leaves nothing of the write, its replay neither, and undoes no other write', async () => {
        const farm = await newFarm();
        const name = once('checked');
        const kept = await store.create(row(farm, 'a'), stamp);
        const codes = await Promise.all([
          codeOf(store.create(row(farm, 'b'), stamp)),
          codeOf(store.create(row(farm, 'c'), stamp, name, refused)),
          codeOf(store.change(row(farm, 'a', { text: '{}' }), 1, later, refused)),
          codeOf(store.remove(farm, 'field', 'a', 1, later, refused)),
          codeOf(store.create(row(farm, 'd'), stamp, undefined, async () => {})),
        ]);
        expect(codes).toEqual(['none', 'in-use', 'in-use', 'in-use', 'none']);
        expect((await store.list(farm, 'field', page)).map(({ id }) => id)).toEqual(['a', 'b', 'd']);
        expect(await store.read(farm, 'field', 'a')).toEqual(kept.row);
        expect(await store.history(farm, { ...page, kind: 'field' })).toHaveLength(3);
        expect(await store.replay(name)).toBeNull();
      });

      test('is not asked of a request that came before, nor of a version that does not stand', async () => {
        const farm = await newFarm();
        const name = once('unasked');
        const { row: first } = await store.create(row(farm, 'a'), stamp, name);
        expect(await store.create(row(farm, 'b'), later, name, refused)).toEqual({ row: first, replayed: true });
        expect(await codeOf(store.change(row(farm, 'a'), 2, later, refused))).toBe('version-conflict');
        expect(await codeOf(store.remove(farm, 'field', 'a', 2, later, refused))).toBe('version-conflict');
        expect(await codeOf(store.create(row('nowhere', 'a'), later, undefined, refused))).toBe('not-found');
      });

      test('of two writes that exclude each other, from two processes’ stores, lets one be done, 40 times of 40', async () => {
        const farm = await newFarm();
        const second = await opened.reopen();
        const outcomes: string[] = [];
        for (let i = 0; i < 40; i++) {
          const [named, naming] = [`s${i}`, `f${i}`];
          await store.create(row(farm, named, { kind: 'station' }), stamp);
          const isThere: Check = async (inside) => {
            if ((await inside.read(farm, 'station', named)) === null) refuse('not-found');
          };
          const isFree: Check = async (inside) => {
            if ((await inside.list(farm, 'field', page, named)).length > 0) refuse('in-use');
          };
          const make = () => codeOf(second.create(row(farm, naming, { parentId: named }), stamp, undefined, isThere));
          const remove = () => codeOf(store.remove(farm, 'station', named, 1, later, isFree));
          const [first, other] = i % 2 ? [remove, make] : [make, remove];
          const codes = await Promise.all([first(), other()]);
          outcomes.push((i % 2 ? codes : codes.reverse()).join(' '));
        }
        await second.close();
        expect(outcomes.filter((found) => found !== 'in-use none' && found !== 'none not-found')).toEqual([]);
      });
    });

    test('keys are found by id, listed by farm in the order they were made, ended once and by their farm only', async () => {
      const [mine, other] = [await newFarm(), await newFarm()];
      const first = key(`k1-${mine}`, mine, { expiresAtMs: later.atMs, label: 'tractor 🚜' });
      await store.addKey(key(`k0-${mine}`, mine, { createdAtMs: later.atMs }));
      await store.addKey(first);
      await store.addKey(key(`op-${mine}`, null));
      expect(await store.key('none')).toBeNull();
      expect(await store.key(first.id)).toEqual(first);
      expect((await store.keys(mine)).map(({ id }) => id)).toEqual([first.id, `k0-${mine}`]);
      expect((await store.keys(null)).map(({ id }) => id)).toEqual([`op-${mine}`]);
      for (const farm of [other, null]) expect(await store.revokeKey(farm, first.id, 5)).toBe(false);
      expect((await store.key(first.id))?.revokedAtMs).toBeNull();
      expect(await store.revokeKey(mine, first.id, 5)).toBe(true);
      expect(await store.revokeKey(mine, first.id, 9)).toBe(true);
      expect((await store.key(first.id))?.revokedAtMs).toBe(5);
      expect(await store.revokeKey(null, `op-${mine}`, 5)).toBe(true);
    });

    test('what one store writes, a second one on the same rows sees at once, though it had read before', async () => {
      const farm = await newFarm();
      const second = await opened.reopen();
      await store.create(row(farm, 'a'), stamp);
      await store.addKey(key(`seen-${farm}`, farm));
      for (let version = 1; version <= 20; version++) {
        expect((await second.read(farm, 'field', 'a'))?.version).toBe(version);
        const [writer, reader] = version % 2 === 0 ? [store, second] : [second, store];
        await writer.change(row(farm, 'a', { text: String(version) }), version, later);
        expect((await reader.read(farm, 'field', 'a'))?.text).toBe(String(version));
      }
      expect((await second.key(`seen-${farm}`))?.revokedAtMs).toBeNull();
      await store.revokeKey(farm, `seen-${farm}`, 5);
      expect((await second.key(`seen-${farm}`))?.revokedAtMs).toBe(5);
      await second.close();
    });

    describe('answers of weather sources', () => {
      const answer = (source: string, place: string, fetchedAtMs: number, text = `${place} at ${fetchedAtMs}`) => ({
        source,
        place,
        fetchedAtMs,
        text,
      });
      const bounds = { most: 3, oldestMs: 0 };
      const placesOf = async (source: string, places: readonly string[]) =>
        (await Promise.all(places.map((place) => store.sourceAnswer(source, place)))).map((found) => found?.place);

      test('are kept by source and place, a later one in the place of an earlier one and never the other way', async () => {
        const second = await opened.reopen();
        expect(await store.sourceAnswer('power', '42 -93.75')).toBeNull();
        const long = answer('power', '42 -93.75', 1_780_000_000_000, 'wéather '.repeat(500_000));
        await store.keepSourceAnswer(long, bounds);
        expect(await second.sourceAnswer('power', '42 -93.75')).toEqual(long);
        expect(await store.sourceAnswer('archive', '42 -93.75')).toBeNull();
        const later = answer('power', '42 -93.75', 1_780_000_000_001);
        await second.keepSourceAnswer(later, bounds);
        await store.keepSourceAnswer(long, bounds);
        expect(await store.sourceAnswer('power', '42 -93.75')).toEqual(later);
        const sameTime = { ...later, text: 'as fresh' };
        await store.keepSourceAnswer(sameTime, bounds);
        expect(await second.sourceAnswer('power', '42 -93.75')).toEqual(sameTime);
        await second.close();
      });

      test('are bounded by number and by age for each source, those fetched longest ago go first', async () => {
        await store.keepSourceAnswer(answer('other', 'z', 1), bounds);
        for (const [place, at] of [
          ['a', 50],
          ['b', 20],
          ['c', 40],
          ['d', 30],
        ] as const)
          await store.keepSourceAnswer(answer('bounded', place, at), bounds);
        expect(await placesOf('bounded', ['a', 'b', 'c', 'd'])).toEqual(['a', undefined, 'c', 'd']);
        await store.keepSourceAnswer(answer('bounded', 'a', 60), { most: 3, oldestMs: 40 });
        expect(await placesOf('bounded', ['a', 'c', 'd'])).toEqual(['a', 'c', undefined]);
        await store.keepSourceAnswer(answer('bounded', 'old', 39), { most: 3, oldestMs: 40 });
        expect(await placesOf('bounded', ['a', 'c', 'old'])).toEqual(['a', 'c', undefined]);
        expect(await placesOf('other', ['z'])).toEqual(['z']);
      });

      test('of 40 places kept at once by two processes’ stores: the last 3 are there, and none of it failed', async () => {
        const second = await opened.reopen();
        const codes = await Promise.all(
          Array.from({ length: 40 }, (_, i) =>
            codeOf((i % 2 ? store : second).keepSourceAnswer(answer('storm', `p${i}`, 100 + i), bounds)),
          ),
        );
        await second.close();
        expect(new Set(codes)).toEqual(new Set(['none']));
        await store.keepSourceAnswer(answer('storm', 'p39', 139), bounds);
        const all = await placesOf(
          'storm',
          Array.from({ length: 40 }, (_, i) => `p${i}`),
        );
        expect(all.filter(Boolean)).toEqual(['p37', 'p38', 'p39']);
      });

      test('are no farm’s: they stand in no list and no history', async () => {
        const farm = await newFarm();
        await store.keepSourceAnswer(answer('power', farm, stamp.atMs), bounds);
        for (const id of [farm, ALL_FARMS, 'power']) {
          expect(await store.list(id, 'source_answers', page)).toEqual([]);
          expect((await store.history(id, page)).filter(({ kind }) => kind !== FARM)).toEqual([]);
        }
      });
    });

    test('is ready, and a store that is closed may be closed again', async () => {
      await expect(store.ready()).resolves.toBeUndefined();
      const second = await opened.reopen();
      await second.close();
      await second.close();
    });
  });
};
