import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { FARM, type Key, type NewRow } from '../../../src/store/contract.ts';
import { schemaVersion } from '../../../src/store/migrations.ts';
import { openSqlite } from '../../../src/store/sqlite.ts';
import { kept, toldBy } from './told.ts';

const stamp = (i: number) => ({
  keyId: i % 2 === 0 ? 'key-office' : 'key-tractor',
  atMs: 1_780_000_000_000 + 60_000 * i,
});
const row = (farmId: string, kind: string, id: string, parentId: string | null, data: object): NewRow => ({
  farmId,
  kind,
  id,
  parentId,
  text: JSON.stringify(data),
});
const key = (id: string, farmId: string | null, more: Partial<Key>): Key => ({
  id,
  farmId,
  role: farmId === null ? 'operator' : 'keeper',
  label: `Schlüssel ${id} 🔑`,
  secretHash: 'ab'.repeat(32),
  createdAtMs: 1_780_000_000_000,
  expiresAtMs: null,
  revokedAtMs: null,
  ...more,
});

const fill = async (path: string): Promise<unknown> => {
  const store = await openSqlite({ path });
  for (const [f, farm] of ['farm-a', 'farm-b', 'farm-that-went'].entries()) {
    await store.create(row(farm, FARM, farm, null, { name: `Hof "${farm}" '鋤'` }), stamp(0));
    for (let i = 0; i < 12; i++) {
      await store.create(row(farm, 'fields', `field-${i}`, null, { name: `Field ${i}\u0001`, areaHa: i }), stamp(i));
      await store.create(row(farm, 'passes', `pass-${i}`, `field-${i % 3}`, { note: "don't; drop" }), stamp(i + 1));
    }
    await store.change(row(farm, 'fields', 'field-1', null, { name: 'renamed' }), 1, stamp(20 + f));
    await store.remove(farm, 'passes', 'pass-2', 1, stamp(21 + f));
    await store.addKey(key(`key-${farm}`, farm, { expiresAtMs: 1_790_000_000_000 }));
  }
  await store.create(row('farm-a', 'fields', 'once', null, { name: 'as it was made' }), stamp(30), kept);
  await store.change(row('farm-a', 'fields', 'once', null, { name: 'changed since' }), 1, stamp(31));
  await store.addKey(key('key-operator', null, {}));
  await store.addKey(key('key-lost', 'farm-b', { revokedAtMs: 1_780_000_500_000 }));
  await store.remove('farm-that-went', FARM, 'farm-that-went', 1, stamp(40));
  const answer = { source: 'power', place: '42 -93.75', fetchedAtMs: 1_780_000_000_000, text: '{"tempMaxC":[null]}' };
  await store.keepSourceAnswer(answer, { most: 1, oldestMs: 0 });
  const told = await toldBy(store);
  await store.close();
  return told;
};

const dump = (path: string): string => {
  const native = new Sqlite(path);
  const made = native.prepare(`select name, sql from sqlite_schema where sql is not null and name not like 'sqlite_%'`);
  const objects = made.all() as { name: string; sql: string }[];
  const tables = objects.filter(({ sql }) => /^create table/i.test(sql));
  const inserts = tables.flatMap(({ name }) => {
    const columns = (native.pragma(`table_info("${name}")`) as { name: string }[]).map((column) => `"${column.name}"`);
    const values = columns.map((column) => `quote(${column})`).join(` || ', ' || `);
    const lines = native.prepare(`select ${values} from "${name}" order by rowid`).pluck().all() as string[];
    return lines.map((line) => `insert into "${name}" (${columns.join(', ')}) values (${line})`);
  });
  native.close();
  return `${[...objects.map(({ sql }) => sql), ...inserts].join(';\n')};\n`;
};

/**
 * Writes what a database of the present form looks like, for later versions to be tried on: VERSION.sql, and what the
 * store tells of it, VERSION.json. A form that was written down stays as it is.
 */
export const makeReleased = async (folder: URL): Promise<void> => {
  const [sql, json] = ['sql', 'json'].map((ending) => new URL(`${schemaVersion}.${ending}`, folder)) as [URL, URL];
  if (existsSync(sql)) throw new Error(`${sql.pathname} is there already`);
  const scratch = mkdtempSync(join(tmpdir(), 'whitethread-'));
  const path = join(scratch, 'released.db');
  const told = await fill(path);
  writeFileSync(sql, dump(path));
  writeFileSync(json, `${JSON.stringify(told, null, 2)}\n`);
  rmSync(scratch, { recursive: true });
};
