import { exec } from 'node:child_process';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { openPostgres } from '../../../src/store/postgres.ts';
import { codeOf, farmRow } from '../../contract/store.ts';
import { emptyDatabase, postgresAddress } from '../../support/postgres.ts';

const restart = process.env.WHITETHREAD_TEST_POSTGRES_RESTART;
const stamp = { keyId: 'k', atMs: 1 };

if (postgresAddress === undefined || restart === undefined)
  console.log(
    'Restart of PostgreSQL left out: WHITETHREAD_TEST_POSTGRES or WHITETHREAD_TEST_POSTGRES_RESTART is not set',
  );
else
  test('PostgreSQL restarted three times under load: store-unavailable, then it goes on by itself; nothing acknowledged is lost', async () => {
    const { store: url, drop } = await emptyDatabase(postgresAddress as string);
    const store = await openPostgres({ url });
    await store.create(farmRow('f'), stamp);
    const acknowledged: string[] = [];
    const codes: string[] = [];
    let isOver = false;
    const writer = async (name: number): Promise<void> => {
      for (let i = 0; !isOver; i++) {
        const id = `w${name}-${i}`;
        const row = { ...farmRow('f'), kind: 'field', id };
        const code = await codeOf(store.create(row, stamp, { scope: 's', key: id, hash: 'h' }));
        codes.push(code);
        if (code === 'none') acknowledged.push(id);
        await new Promise((done) => setTimeout(done, 5));
      }
    };
    const writers = Array.from({ length: 8 }, (_, name) => writer(name));
    for (let i = 0; i < 3; i++) {
      const before = acknowledged.length;
      await expect.poll(() => acknowledged.length, { timeout: 10_000 }).toBeGreaterThan(before + 50);
      await promisify(exec)(restart);
      await expect.poll(() => codeOf(store.ready()), { timeout: 30_000 }).toBe('none');
    }
    const before = acknowledged.length;
    await expect.poll(() => acknowledged.length, { timeout: 10_000 }).toBeGreaterThan(before + 50);
    isOver = true;
    await Promise.all(writers);
    expect(new Set(codes)).toEqual(new Set(['none', 'store-unavailable']));
    const kept = new Set((await store.list('f', 'field', { after: null, limit: 1_000_000 })).map(({ id }) => id));
    expect(acknowledged.filter((id) => !kept.has(id))).toEqual([]);
    expect(await store.history('f', { after: null, limit: 1_000_000, kind: 'field' })).toHaveLength(kept.size);
    const refused = codes.filter((code) => code !== 'none').length;
    console.log(`3 restarts: ${acknowledged.length} rows acknowledged and kept, ${refused} writes refused`);
    await store.close();
    await drop();
  });
