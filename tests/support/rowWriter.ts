import { writeSync } from 'node:fs';
import { openSqlite } from '../../src/store/sqlite.ts';

/** Adds rows one after the other and tells of each that was acknowledged. Arguments: file, beginning of the ids, how many. */
const [path = '', prefix = '', count = '0'] = process.argv.slice(2);
const stamp = { keyId: 'k', atMs: 1 };
const store = await openSqlite({ path });
const name = { scope: 'writers', key: 'farm', hash: 'farm' };
await store.create({ farmId: 'f', kind: 'farm', id: 'f', parentId: null, text: '{}' }, stamp, name);
for (let i = 0; i < Number(count); i++) {
  const id = `${prefix}${String(i).padStart(6, '0')}`;
  const text = JSON.stringify({ n: i, note: 'x'.repeat(i % 500) });
  const once = { scope: 'writers', key: id, hash: id };
  await store.create({ farmId: 'f', kind: 'field', id, parentId: null, text }, stamp, once);
  writeSync(1, `${id}\n`);
}
await store.close();
