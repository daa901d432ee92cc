import { isWhitethreadError } from '../../../src/core/base/errors.ts';
import { openSqlite } from '../../../src/store/sqlite.ts';

/** What happened to one write whose N-th call to the disk failed. */
export type Trial = {
  readonly nth: number;
  readonly code: string;
  /** Whether row, history and replay are there afterwards, in the same process. */
  readonly kept: readonly [row: boolean, history: boolean];
  /** Whether the same request then did what it should, in the same process. */
  readonly recovered: boolean;
  /** Whether `ready` and `read` answered while the disk was broken. */
  readonly reads: boolean;
};

const [path = '', errno = '', most = '0', size = '0'] = process.argv.slice(2);
const stamp = { keyId: 'k', atMs: 1 };
const store = await openSqlite({ path });
const farm = { farmId: 'f', kind: 'farm', id: 'f', parentId: null, text: '{}' };
await store.create(farm, stamp, { scope: 's', key: 'farm', hash: 'h' });
const trials: Trial[] = [];
for (let nth = 1; nth <= Number(most); nth++) {
  const id = `${errno}-${size}-${nth}`;
  const row = { ...farm, kind: 'field', id, text: JSON.stringify('x'.repeat(Number(size))) };
  const once = { scope: 's', key: id, hash: 'h' };
  process.env.WHITETHREAD_FAULT = `${nth}:${errno}:`;
  const code = await store.create(row, stamp, once).then(
    () => 'none',
    (error: unknown) => (isWhitethreadError(error) ? error.code : String(error)),
  );
  const reads = await Promise.all([store.ready(), store.read('f', 'farm', 'f')]).then(
    ([, found]) => found !== null,
    () => false,
  );
  delete process.env.WHITETHREAD_FAULT;
  const kept = [
    (await store.read('f', 'field', id)) !== null,
    (await store.history('f', { after: null, limit: 10, id })).length > 0,
  ] as const;
  const again = await store.create(row, stamp, once);
  const recovered = again.row.id === id && again.replayed === (code === 'none');
  trials.push({ nth, code, kept, recovered, reads });
}
await store.close();
process.stdout.write(JSON.stringify(trials));
