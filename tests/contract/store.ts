import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { isWhitethreadError } from '../../src/core/base/errors.ts';
import { ALL_FARMS, FARM, type Key, type NewRow, type Once, type Store } from '../../src/store/contract.ts';

const stamp = { keyId: 'key-a', atMs: 1_780_000_000_000 };
const later = { keyId: 'key-b', atMs: 1_780_000_060_000 };
const page = { after: null, limit: 100 };

/** The code of the error that a promise ends with; 'none' when it does not. */
export const codeOf = (promise: Promise<unknown>): Promise<string> =>
  promise.then(
    () => 'none',
    (error: unknown) => (isWhitethreadError(error) ? error.code : String(error)),
  );

/** Every sentence of the contract; each adapter runs it. @param open an empty store */
export const storeContract = (name: string, open: () => Promise<Store>): void => {
  describe(`${name} keeps the contract of a store`, () => {
    let store: Store;
    let made = 0;
    const farmId = () => `farm${String(made++).padStart(6, '0')}`;
    const row = (farm: string, id: string, more: Partial<NewRow> = {}): NewRow => ({
      farmId: farm,
      kind: 'field',
      id,
      parentId: null,
      text: `{"name":"${id}"}`,
      ...more,
    });
    const once = (key: string, hash = 'h'): Once => ({ scope: 'key-a', key: `${key}-${made}`, hash });

    beforeAll(async () => {
      store = await open();
    });
    afterAll(() => store.close());

    it('a row is read as it was made, at version 1, and is null before', async () => {
      const farm = farmId();
      expect(await store.read(farm, 'field', 'a')).toBeNull();
      const { row: first, replayed } = await store.create(
        row(farm, 'a', { parentId: 'p', text: '{"ü":"鋤 🌱"}' }),
        stamp,
      );
      expect(replayed).toBe(false);
      expect(first).toEqual({
        farmId: farm,
        kind: 'field',
        id: 'a',
        parentId: 'p',
        text: '{"ü":"鋤 🌱"}',
        version: 1,
        createdAtMs: stamp.atMs,
        changedAtMs: stamp.atMs,
      });
      expect(await store.read(farm, 'field', 'a')).toEqual(first);
      expect(await codeOf(store.create(row(farm, 'a'), stamp))).toBe('version-conflict');
    });

    it('a text of 4 MB comes back whole', async () => {
      const farm = farmId();
      const text = JSON.stringify({ long: 'weather '.repeat(524_288) });
      await store.create(row(farm, 'a', { text }), stamp);
      expect((await store.read(farm, 'field', 'a'))?.text).toBe(text);
    });

    it('no question reaches another farm’s rows', async () => {
      const [mine, other] = [farmId(), farmId()];
      await store.create(row(mine, 'a'), stamp);
      expect(await store.read(other, 'field', 'a')).toBeNull();
      expect(await store.list(other, 'field', page)).toEqual([]);
      expect(await store.history(other, page)).toEqual([]);
      expect(await codeOf(store.change(row(other, 'a'), 1, stamp))).toBe('not-found');
      expect(await codeOf(store.remove(other, 'field', 'a', 1, stamp))).toBe('not-found');
      expect(await store.list(ALL_FARMS, 'field', page)).toEqual([]);
      expect((await store.read(mine, 'field', 'a'))?.version).toBe(1);
    });

    it('a list goes on after the last id seen, by kind, and by parent where one is named', async () => {
      const farm = farmId();
      for (const id of ['c', 'a', 'b', 'd'])
        await store.create(row(farm, id, { parentId: id < 'c' ? 'p' : 'q' }), stamp);
      await store.create(row(farm, 'x', { kind: 'crew' }), stamp);
      const ids = async (after: string | null, limit: number, parent?: string) =>
        (await store.list(farm, 'field', { after, limit }, parent)).map(({ id }) => id).join('');
      expect(await ids(null, 2)).toBe('ab');
      expect(await ids('b', 9)).toBe('cd');
      expect(await ids('d', 9)).toBe('');
      expect(await ids(null, 9, 'q')).toBe('cd');
    });

    it('a change needs the version that stands: the second of two writers gets a conflict that names it', async () => {
      const farm = farmId();
      await store.create(row(farm, 'a'), stamp);
      const changed = await store.change(row(farm, 'a', { text: '{"n":2}' }), 1, later);
      expect(changed).toMatchObject({ version: 2, text: '{"n":2}', createdAtMs: stamp.atMs, changedAtMs: later.atMs });
      expect(await store.read(farm, 'field', 'a')).toEqual(changed);
      await expect(store.change(row(farm, 'a'), 1, later)).rejects.toThrow('version 2');
      expect(await codeOf(store.remove(farm, 'field', 'a', 1, later))).toBe('version-conflict');
      expect(await codeOf(store.change(row(farm, 'b'), 1, later))).toBe('not-found');
    });

    it('50 writers at once: one wins per version, and the last version is the number of wins and one', async () => {
      const farm = farmId();
      await store.create(row(farm, 'a'), stamp);
      let wins = 0;
      const writer = async (): Promise<void> => {
        for (let tries = 0; tries < 3; tries++) {
          const version = (await store.read(farm, 'field', 'a'))?.version ?? 0;
          const code = await codeOf(store.change(row(farm, 'a'), version, later));
          expect(['none', 'version-conflict']).toContain(code);
          if (code === 'none') wins++;
        }
      };
      await Promise.all(Array.from({ length: 50 }, writer));
      expect(wins).toBeGreaterThan(0);
      expect((await store.read(farm, 'field', 'a'))?.version).toBe(wins + 1);
    });

    it('history holds who did what when, in order, also of what is gone', async () => {
      const farm = farmId();
      await store.create(row(farm, 'a'), stamp);
      await store.change(row(farm, 'a', { text: '{"n":2}' }), 1, later);
      await store.create(row(farm, 'b'), stamp);
      await store.remove(farm, 'field', 'a', 2, later);
      const told = await store.history(farm, page);
      expect(told.map(({ id, version, action, keyId, text }) => [id, version, action, keyId, text])).toEqual([
        ['a', 1, 'create', 'key-a', '{"name":"a"}'],
        ['a', 2, 'change', 'key-b', '{"n":2}'],
        ['b', 1, 'create', 'key-a', '{"name":"b"}'],
        ['a', 3, 'remove', 'key-b', null],
      ]);
      expect(await store.read(farm, 'field', 'a')).toBeNull();
      const second = told[1]?.seq ?? 0;
      expect((await store.history(farm, { after: second, limit: 1 })).map(({ id }) => id)).toEqual(['b']);
      expect(await store.history(farm, { ...page, kind: 'field', id: 'a' })).toHaveLength(3);
      expect(await store.history(farm, { ...page, kind: 'crew' })).toEqual([]);
    });

    it('a request sent twice makes one row and gives it as it was made, whatever became of it', async () => {
      const farm = farmId();
      const name = once('twice');
      const first = await store.create(row(farm, 'a', { parentId: 'p' }), stamp, name);
      await store.change(row(farm, 'a', { text: '{}' }), 1, later);
      const again = await store.create(row(farm, 'b'), later, name);
      expect(again).toEqual({ row: first.row, replayed: true });
      expect(await store.list(farm, 'field', page)).toHaveLength(1);
      expect(await codeOf(store.create(row(farm, 'c'), later, { ...name, hash: 'other' }))).toBe('replay-mismatch');
      expect((await store.create(row(farm, 'd'), later, { ...name, scope: 'key-b' })).replayed).toBe(false);
    });

    it('100 equal requests at once: exactly one row', async () => {
      const farm = farmId();
      const name = once('storm');
      const all = await Promise.all(
        Array.from({ length: 100 }, (_, i) => store.create(row(farm, `id${i}`), stamp, name)),
      );
      expect(all.filter(({ replayed }) => !replayed)).toHaveLength(1);
      expect(new Set(all.map((one) => one.row.id)).size).toBe(1);
      expect(await store.list(farm, 'field', page)).toHaveLength(1);
      expect(await store.history(farm, page)).toHaveLength(1);
    });

    it('a failed creation leaves no replay behind, and a forgotten one is made anew', async () => {
      const farm = farmId();
      await store.create(row(farm, 'a'), stamp);
      const name = once('failed');
      expect(await codeOf(store.create(row(farm, 'a'), stamp, name))).toBe('version-conflict');
      expect((await store.create(row(farm, 'b'), stamp, name)).replayed).toBe(false);
      await store.forgetReplays(stamp.atMs + 1);
      expect((await store.create(row(farm, 'c'), stamp, name)).replayed).toBe(false);
    });

    it('farms are listed together; one that goes takes its rows and keys and leaves its history', async () => {
      const [one, two] = [farmId(), farmId()];
      for (const farm of [one, two]) await store.create(row(farm, farm, { kind: FARM }), stamp);
      await store.create(row(one, 'a'), stamp);
      await store.create(row(two, 'a'), stamp);
      await store.addKey(key('gone', one));
      await store.addKey(key('stays', two));
      const farms = async () => (await store.list(ALL_FARMS, FARM, page)).map(({ id }) => id);
      expect(await farms()).toEqual(expect.arrayContaining([one, two]));
      await store.remove(one, FARM, one, 1, later);
      expect(await farms()).not.toContain(one);
      expect(await store.read(one, 'field', 'a')).toBeNull();
      expect((await store.key('gone'))?.revokedAtMs).toBe(later.atMs);
      expect((await store.key('stays'))?.revokedAtMs).toBeNull();
      expect(await store.read(two, 'field', 'a')).not.toBeNull();
      expect((await store.history(one, page)).at(-1)).toMatchObject({ kind: FARM, action: 'remove' });
    });

    const key = (id: string, farm: string | null, more: Partial<Key> = {}): Key => ({
      id,
      farmId: farm,
      role: farm === null ? 'operator' : 'planner',
      label: 'tests',
      secretHash: 'ab'.repeat(32),
      createdAtMs: stamp.atMs,
      expiresAtMs: null,
      revokedAtMs: null,
      ...more,
    });

    it('keys are found by id, listed by farm, revoked once and for that farm only', async () => {
      const [mine, other] = [farmId(), farmId()];
      expect(await store.key('k1')).toBeNull();
      await store.addKey(key('k1', mine, { expiresAtMs: later.atMs }));
      await store.addKey(key('k0', null));
      expect(await store.key('k1')).toEqual(key('k1', mine, { expiresAtMs: later.atMs }));
      expect((await store.keys(mine)).map(({ id }) => id)).toEqual(['k1']);
      expect((await store.keys(null)).map(({ id }) => id)).toContain('k0');
      expect(await store.revokeKey(other, 'k1', 5)).toBe(false);
      expect(await store.revokeKey(null, 'k1', 5)).toBe(false);
      expect(await store.revokeKey(mine, 'k1', 5)).toBe(true);
      expect(await store.revokeKey(mine, 'k1', 9)).toBe(true);
      expect((await store.key('k1'))?.revokedAtMs).toBe(5);
    });

    it('is ready', async () => {
      await expect(store.ready()).resolves.toBeUndefined();
    });
  });
};
