import { writeSync } from 'node:fs';
import { openSqlite } from '../../src/store/sqlite.ts';

/** Adds rows one after the other and tells of each that was acknowledged. Arguments: file, beginning of the ids, how many. */
const [path = '', prefix = '', count = '0'] = process.argv.slice(2);
const store = await openSqlite({ path });
for (let i = 0; i < Number(count); i++) {
  const id = `${prefix}${String(i).padStart(6, '0')}`;
  await store.create({ farmId: 'f', kind: 'field', id, parentId: null, text: `{"n":${i}}` }, { keyId: 'k', atMs: i });
  writeSync(1, `${id}\n`);
}
await store.close();
