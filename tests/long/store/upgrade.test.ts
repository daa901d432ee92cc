import { readdirSync, readFileSync, statSync } from 'node:fs';
import { copyFile } from 'node:fs/promises';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { expect, test } from 'vitest';
import { backup } from '../../../src/store/backup.ts';
import { migrations, schemaVersion } from '../../../src/store/migrations.ts';
import { openSqlite, sqliteTraits } from '../../../src/store/sqlite.ts';
import { farmRow } from '../../contract/store.ts';
import { testFolder } from '../../support/folder.ts';
import { makeReleased } from './makeReleased.ts';
import { stateOf } from './state.ts';
import { kept, toldBy } from './told.ts';

const folder = new URL('released/', import.meta.url);
// Once for each form, when it is released: WHITETHREAD_MAKE_RELEASED=1 npx vitest run --project long tests/long/store/upgrade.test.ts
if (process.env.WHITETHREAD_MAKE_RELEASED === '1') await makeReleased(folder);
const released = readdirSync(folder)
  .filter((name) => name.endsWith('.sql'))
  .map((name) => name.slice(0, -'.sql'.length));
const stamp = { keyId: 'k', atMs: 1_790_000_000_000 };

/** Tables and indices as they are written down. */
const schemaOf = (path: string): unknown[] => {
  const native = new Sqlite(path);
  const found = native.prepare('select type, name, sql from sqlite_schema order by type, name').all();
  native.close();
  return found;
};

test('every form that a database has had is here, the present one too', () => {
  expect(released).toEqual(Object.keys(migrations(sqliteTraits)));
  expect(released.at(-1)).toBe(schemaVersion);
});

test.each(released)(
  'a database of version %s opens: it tells what it told, has the present form, and is written on',
  async (version) => {
    const path = join(testFolder(), 'old.db');
    const old = new Sqlite(path);
    old.exec(readFileSync(new URL(`${version}.sql`, folder), 'utf8'));
    old.close();
    const store = await openSqlite({ path });
    expect(await toldBy(store)).toEqual(JSON.parse(readFileSync(new URL(`${version}.json`, folder), 'utf8')));
    const again = await store.create({ ...farmRow('farm-a'), kind: 'fields', id: 'other' }, stamp, kept);
    expect([again.replayed, again.row.text]).toEqual([true, '{"name":"as it was made"}']);
    await store.create({ ...farmRow('farm-a'), kind: 'fields', id: 'new' }, stamp);
    await store.close();
    const { integrity, parts } = stateOf(path);
    expect([integrity, parts]).toEqual(['ok', 0]);
    const fresh = join(testFolder(), 'fresh.db');
    await (await openSqlite({ path: fresh })).close();
    expect(schemaOf(path)).toEqual(schemaOf(fresh));
  },
);

test('1 GB backed up and restored within a minute: the same rows by count and checksum', async () => {
  const place = testFolder();
  const [path, copy, restored] = ['farms.db', 'copy.db', 'restored.db'].map((name) => join(place, name)) as [
    string,
    string,
    string,
  ];
  const store = await openSqlite({ path });
  await store.create(farmRow('f'), stamp);
  for (let i = 0; i < 380; i++)
    await store.create(
      { ...farmRow('f'), kind: 'weather', id: `w${i}`, text: JSON.stringify(`${i}`.repeat(500_000)) },
      stamp,
    );
  let started = performance.now();
  await backup(path, copy);
  const backupMs = performance.now() - started;
  await store.close();
  started = performance.now();
  await copyFile(copy, restored);
  const opened = await openSqlite({ path: restored });
  await opened.ready();
  const restoreMs = performance.now() - started;
  await opened.close();
  const megabytes = statSync(copy).size / 1e6;
  console.log(`${Math.round(megabytes)} MB: backup ${Math.round(backupMs)} ms, restore ${Math.round(restoreMs)} ms`);
  expect(megabytes).toBeGreaterThan(1000);
  expect(stateOf(restored)).toEqual(stateOf(path));
  expect(stateOf(restored).integrity).toBe('ok');
  expect(restoreMs).toBeLessThan(60_000);
}, 300_000);
