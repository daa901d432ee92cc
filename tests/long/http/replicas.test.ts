import { exec } from 'node:child_process';
import { setTimeout as pause } from 'node:timers/promises';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chapters, storyTold } from '../../story/told.ts';
import { caller, good, type Reply } from '../../support/api.ts';
import { type MadeFarm, madeFarm } from '../../support/madeFarm.ts';
import { type EmptyDatabase, emptyDatabase, postgresAddress } from '../../support/postgres.ts';
import { type RoundRobin, roundRobin } from '../../support/roundRobin.ts';
import { operatorKey, type ServerProcess, startServer } from '../../support/serverProcess.ts';

const restart = process.env.WHITETHREAD_TEST_POSTGRES_RESTART;
if (postgresAddress === undefined) console.log('two replicas on PostgreSQL: left out, no WHITETHREAD_TEST_POSTGRES');
else if (restart === undefined)
  console.log('PostgreSQL restarted under load: left out, no WHITETHREAD_TEST_POSTGRES_RESTART');

describe.runIf(postgresAddress !== undefined)('two replicas on PostgreSQL behind a proxy', () => {
  let database: EmptyDatabase;
  let replicas: readonly ServerProcess[] = [];
  let proxy: RoundRobin;
  let operator = '';

  beforeAll(async () => {
    database = await emptyDatabase(postgresAddress ?? '');
    operator = await operatorKey(database.store);
    replicas = [await startServer({ store: database.store }), await startServer({ store: database.store })];
    proxy = await roundRobin(replicas.map(({ address }) => address));
  }, 180_000);

  afterAll(async () => {
    await proxy?.close();
    await Promise.all(replicas.map((replica) => replica.stop()));
    await database?.drop();
  });

  test('tell the same story as one server, each half of it', async () => {
    expect(await storyTold(proxy.address, operator)).toEqual(chapters);
    const [one = 0, two = 0] = proxy.served();
    expect(Math.abs(one - two)).toBeLessThanOrEqual(1);
    expect(one).toBeGreaterThan(10);
  }, 120_000);

  test('of 50 writers with one ETag one wins on either replica, and 40 equal posts with one key make one record', async () => {
    const { call, path, fieldIds } = await madeFarm(proxy.address, operator);
    const field = `${path}/fields/${fieldIds[0]}`;
    const before = await call('GET', field);
    const { data } = JSON.parse(before.text);
    const etag = before.headers.get('etag') ?? '';
    const writes = Array.from({ length: 50 }, (_, i) =>
      call('PUT', field, { ...data, name: `by ${i}` }, { 'if-match': etag }),
    );
    const statuses = (await Promise.all(writes)).map(({ status }) => status).sort();
    expect(statuses).toEqual([200, ...Array.from({ length: 49 }, () => 412)]);
    const body = { fieldId: fieldIds[0], date: '2026-05-10', implement: 'rotary-hoe' };
    const posts = Array.from({ length: 40 }, () =>
      call('POST', `${path}/passes`, body, { 'idempotency-key': 'once-42' }),
    );
    const ids = (await Promise.all(posts)).map((reply) => good(reply).id);
    expect(new Set(ids).size).toBe(1);
    expect(good<{ items: unknown[] }>(await call('GET', `${path}/passes`)).items).toHaveLength(1);
  }, 60_000);

  /** Posts and reads without pause until told to stop; gives every answer and the ids that were acknowledged. */
  const load = (farm: MadeFarm, until: () => boolean) => {
    const replies: Reply[] = [];
    const kept: string[] = [];
    const one = async (worker: number): Promise<void> => {
      for (let turn = 0; !until(); turn++) {
        const body = { fieldId: farm.fieldIds[0], date: '2026-05-11', species: 'waterhemp', perM2: turn % 100 };
        const reply = await farm.call('POST', `${farm.path}/counts`, body);
        replies.push(reply);
        if (reply.status === 201) kept.push(JSON.parse(reply.text).id);
        replies.push(await farm.call('GET', `${farm.path}/fields/${farm.fieldIds[worker % 2]}`));
        await pause(2);
      }
    };
    return { replies, kept, done: Promise.all(Array.from({ length: 8 }, (_, worker) => one(worker))) };
  };

  test.runIf(restart !== undefined)(
    'PostgreSQL restarted under load: 503 with Retry-After, then all is well without help, and nothing acknowledged is lost',
    async () => {
      const farm = await madeFarm(proxy.address, operator);
      let stopped = false;
      const { replies, kept, done } = load(farm, () => stopped);
      await pause(500);
      await promisify(exec)(restart ?? '');
      await promisify(exec)(restart ?? '');
      const restarted = performance.now();
      const ready = async (replica: ServerProcess): Promise<number> => {
        while ((await fetch(`${replica.address}/ready`)).status !== 200) await pause(20);
        return performance.now() - restarted;
      };
      const backMs = Math.max(...(await Promise.all(replicas.map(ready))));
      const seen = replies.length;
      await pause(1000);
      stopped = true;
      await done;

      const unavailable = replies.filter(({ status }) => status >= 400);
      console.log(
        `restart under load: ${replies.length} answers, ${unavailable.length} of them 503, ready ${backMs.toFixed(0)} ms after`,
      );
      expect(backMs).toBeLessThan(10_000);
      expect(
        unavailable.map(({ status, text }) => `${status} ${text}`).filter((text) => !text.startsWith('503')),
      ).toEqual([]);
      expect(unavailable.length).toBeGreaterThan(0);
      for (const { headers, text } of unavailable) {
        expect(Number(headers.get('retry-after'))).toBeGreaterThan(0);
        expect(JSON.parse(text).problems[0].code).toBe('store-unavailable');
      }
      expect(replies.slice(seen + 32).filter(({ status }) => status >= 400)).toEqual([]);
      const call = caller(proxy.address, farm.key);
      const found = await Promise.all(kept.map((id) => call('GET', `${farm.path}/counts/${id}`)));
      expect(found.filter(({ status }) => status !== 200)).toEqual([]);
    },
    120_000,
  );
});
