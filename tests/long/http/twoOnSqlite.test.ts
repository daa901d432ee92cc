import { afterAll, beforeAll, expect, test } from 'vitest';
import { good } from '../../support/api.ts';
import { folderWith } from '../../support/files.ts';
import { type MadeFarm, madeFarm } from '../../support/madeFarm.ts';
import { type RoundRobin, roundRobin } from '../../support/roundRobin.ts';
import { operatorKey, type ServerProcess, startServer } from '../../support/serverProcess.ts';

let servers: readonly ServerProcess[] = [];
let proxy: RoundRobin;
let farm: MadeFarm;

beforeAll(async () => {
  const store = `sqlite:${folderWith({})}/two.db`;
  const operator = await operatorKey(store);
  servers = [await startServer({ store }), await startServer({ store })];
  proxy = await roundRobin(servers.map(({ address }) => address));
  farm = await madeFarm(proxy.address, operator);
}, 120_000);
afterAll(async () => {
  await proxy?.close();
  await Promise.all(servers.map((server) => server.stop()));
});

test('two servers on one SQLite file keep every record that either acknowledged: 2 x 200 posts at once', async () => {
  const post = (i: number) =>
    farm.call('POST', `${farm.path}/counts`, {
      fieldId: farm.fieldIds[i % 2],
      date: '2026-05-11',
      species: 'waterhemp',
      perM2: i,
    });
  const made = await Promise.all(Array.from({ length: 400 }, (_, i) => post(i)));
  const ids = made.map((reply) => good(reply).id);
  expect(new Set(ids).size).toBe(400);
  const found: string[] = [];
  for (let cursor: string | null = ''; cursor !== null; ) {
    const page: { items: { id: string }[]; next: string | null } = good(
      await farm.call('GET', `${farm.path}/counts?limit=200${cursor === '' ? '' : `&cursor=${cursor}`}`),
    );
    found.push(...page.items.map(({ id }) => id));
    cursor = page.next;
  }
  expect(found.sort()).toEqual(ids.sort());
  const [one = 0, two = 0] = proxy.served();
  expect(Math.min(one, two)).toBeGreaterThan(150);
});

test('of 50 writers with one ETag on both servers one wins', async () => {
  const field = `${farm.path}/fields/${farm.fieldIds[0]}`;
  const before = await farm.call('GET', field);
  const { data } = JSON.parse(before.text);
  const etag = before.headers.get('etag') ?? '';
  const writes = Array.from({ length: 50 }, (_, i) =>
    farm.call('PUT', field, { ...data, name: `by ${i}` }, { 'if-match': etag }),
  );
  const statuses = (await Promise.all(writes)).map(({ status }) => status).sort();
  expect(statuses).toEqual([200, ...Array.from({ length: 49 }, () => 412)]);
});
