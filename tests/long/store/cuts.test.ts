import { readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { beforeAll, expect, test } from 'vitest';
import { openSqlite, sqliteStore } from '../../../src/store/sqlite.ts';
import { scratchFolder } from '../../support/folder.ts';
import { type State, stateOf } from './state.ts';

const CUTS = 250;
const WRITES = 40;
const stamp = { keyId: 'k', atMs: 1 };
const row = (id: string, length: number) => ({
  farmId: 'f',
  kind: 'field',
  id,
  parentId: null,
  text: JSON.stringify('x'.repeat(length)),
});

/** A database as it lies on the disk after some writes: what was folded in, the log, and every state it went through. */
type Disk = { readonly old: Buffer; readonly log: Buffer; readonly folded: Buffer; readonly states: readonly State[] };

const folder = scratchFolder();
const path = join(folder, 'farms.db');
const copy = join(folder, 'copy.db');
let disk: Disk;

/** What a copy holds; the log that was left by one copy is not there for the next. */
const stateOfFiles = (database: Buffer, log: Buffer | null): State => {
  writeFileSync(copy, database);
  writeFileSync(`${copy}-shm`, '');
  writeFileSync(`${copy}-wal`, log ?? '');
  return stateOf(copy);
};

beforeAll(async () => {
  const native = new Sqlite(path);
  const store = await sqliteStore(native);
  await store.create({ ...row('f', 0), kind: 'farm' }, stamp);
  for (let i = 0; i < 20; i++) await store.create(row(`old${i}`, 3000), stamp);
  native.pragma('wal_checkpoint(truncate)');
  native.pragma('wal_autocheckpoint = 0');
  const old = readFileSync(path);
  const states = [stateOfFiles(old, null)];
  for (let i = 0; i < WRITES; i++) {
    if (i % 4 === 3) await store.change(row(`new${i - 1}`, 5000), 1, stamp);
    else await store.create(row(`new${i}`, (i * 977) % 9000), stamp, { scope: 's', key: `k${i}`, hash: 'h' });
    states.push(stateOfFiles(old, readFileSync(`${path}-wal`)));
  }
  const log = readFileSync(`${path}-wal`);
  await store.close();
  disk = { old, log, folded: readFileSync(path), states };
  expect(new Set(states.map(({ checksum }) => checksum)).size).toBe(WRITES + 1);
});

const at = ({ checksum }: State): number => disk.states.findIndex((state) => state.checksum === checksum);

test(`a log cut at ${CUTS} bytes by chance: opens each time, as it was after one of its writes, the later the longer it is`, async () => {
  const cuts = Array.from({ length: CUTS }, () => Math.floor(Math.random() * (disk.log.length + 1))).sort(
    (a, b) => a - b,
  );
  const found = cuts.map((cut) => stateOfFiles(disk.old, disk.log.subarray(0, cut)));
  expect(found.filter(({ integrity, parts }) => integrity !== 'ok' || parts > 0)).toEqual([]);
  const reached = found.map(at);
  expect(reached.filter((index) => index < 0)).toEqual([]);
  expect(reached).toEqual([...reached].sort((a, b) => a - b));
  expect(new Set(reached).size).toBeGreaterThan(WRITES / 2);
});

test(`power lost while the log is folded in, at ${CUTS} bytes by chance: opens each time, with every write`, async () => {
  for (let i = 0; i < CUTS; i++) {
    const cut = Math.floor(Math.random() * disk.folded.length);
    const torn = Buffer.concat([disk.folded.subarray(0, cut), disk.old.subarray(cut)]);
    const state = stateOfFiles(torn, disk.log);
    expect([state.integrity, at(state)]).toEqual(['ok', WRITES]);
  }
});

test('a store opens on what is left of a log, and writes on', async () => {
  for (let i = 0; i < 20; i++) {
    const torn = join(folder, `torn${i}.db`);
    writeFileSync(torn, disk.old);
    writeFileSync(`${torn}-wal`, disk.log);
    truncateSync(`${torn}-wal`, Math.floor(Math.random() * disk.log.length));
    const store = await openSqlite({ path: torn });
    await store.create(row('after', 100), stamp);
    await store.close();
    const { integrity, parts } = stateOf(torn);
    expect([integrity, parts]).toEqual(['ok', 0]);
  }
});
