import { spawnSync } from 'node:child_process';
import { chmodSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { FARM } from '../../../src/store/contract.ts';
import { openSqlite } from '../../../src/store/sqlite.ts';
import { codeOf, farmRow } from '../../contract/store.ts';
import { scratchFolder, testFolder } from '../../support/folder.ts';
import { stateOf } from './state.ts';

const stamp = { keyId: 'k', atMs: 1 };
const row = (id: string, text = '{}') => ({ farmId: 'f', kind: 'field', id, parentId: null, text });

/** What is left on the disk before it runs full, bytes. */
const ROOM = 600_000;

const isRoot = process.getuid?.() === 0;
const disk = scratchFolder();
const mount = (...args: string[]): boolean => spawnSync('mount', [...args, disk]).status === 0;
const isDisk = isRoot && mount('-t', 'tmpfs', '-o', 'size=16m', 'tmpfs');
if (!isDisk) console.log('A small disk of its own left out: it takes root and the right to mount');
afterAll(() => {
  if (isDisk) spawnSync('umount', ['-l', disk]);
});

describe.runIf(isDisk)('a disk of 16 MB', () => {
  test('that runs full: store-full keeps nothing of the request, reads go on, and room is used without a restart', async () => {
    const path = join(disk, 'full.db');
    const ballast = join(disk, 'ballast');
    const store = await openSqlite({ path });
    await store.create(farmRow('f'), stamp);
    const acknowledged: string[] = [];
    for (let round = 0; round < 5; round++) {
      const { bavail, bsize } = statfsSync(disk);
      writeFileSync(ballast, Buffer.alloc(bavail * bsize - ROOM));
      let code = 'none';
      for (let i = 0; code === 'none'; i++) {
        const id = `r${round}-${String(i).padStart(3, '0')}`;
        code = await codeOf(store.create(row(id, 'x'.repeat(50_000)), stamp));
        if (code === 'none') acknowledged.push(id);
      }
      expect(code).toBe('store-full');
      expect((await store.read('f', FARM, 'f'))?.version).toBe(1);
      await store.ready();
      const kept = await store.list('f', 'field', { after: null, limit: 1000 });
      expect(kept.map(({ id }) => id)).toEqual(acknowledged);
      rmSync(ballast);
      expect(await codeOf(store.create(row(`r${round}-after`), stamp))).toBe('none');
      acknowledged.push(`r${round}-after`);
    }
    expect(acknowledged.length).toBeGreaterThan(10);
    await store.close();
    const { integrity, parts } = stateOf(path);
    expect([integrity, parts]).toEqual(['ok', 0]);
    rmSync(path);
  });

  test('that is made read-only: a store does not open on it, and does when it may be written again', async () => {
    const path = join(disk, 'read.db');
    const store = await openSqlite({ path });
    await store.create(farmRow('f'), stamp);
    await store.close();
    expect(mount('-o', 'remount,ro')).toBe(true);
    expect(await codeOf(openSqlite({ path }))).toBe('store-read-only');
    expect(mount('-o', 'remount,rw')).toBe(true);
    const again = await openSqlite({ path });
    expect(await codeOf(again.create(row('a'), stamp))).toBe('none');
    await again.close();
  });
});

test.runIf(!isRoot)('a file without the right to write is store-read-only', async () => {
  const path = join(testFolder(), 'farms.db');
  await (await openSqlite({ path })).close();
  chmodSync(path, 0o400);
  expect(await codeOf(openSqlite({ path }))).toBe('store-read-only');
});
