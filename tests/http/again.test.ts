import { once } from 'node:events';
import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { HttpOptions } from '../../src/http/contract.ts';
import { freshKey } from '../../src/service/keys.ts';
import type { Store } from '../../src/store/contract.ts';
import { openStore } from '../../src/store/open.ts';
import { statelessApp } from './fakes.ts';
import { type Stored, storedApp } from './stored.ts';

/** A listening server whose store counts what it is asked, with a clock of its own. */
const world = async (options: Partial<HttpOptions> = {}) => {
  const clock = { ms: Date.now() };
  const asked: string[] = [];
  const stored: Stored = await storedApp(options, { nowMs: () => clock.ms });
  const { store } = stored.deps;
  const read = store.read;
  Object.assign(store, {
    read: (...given: Parameters<Store['read']>) => {
      asked.push(given.join('/'));
      return read(...given);
    },
  });
  const address = await stored.app.listen({ host: '127.0.0.1', port: 0 });
  const [farm] = stored.farms;
  const path = `/v1/farms/${farm.id}/fields/${farm.ids.field}`;
  const get = async (key: string | null, headers: Readonly<Record<string, string>> = {}, url = path) => {
    const authorization = key === null ? {} : { authorization: `Bearer ${key}` };
    const answer = await fetch(address + url, { headers: { ...authorization, ...headers } });
    return { status: answer.status, headers: Object.fromEntries(answer.headers), text: await answer.text() };
  };
  /** What the next answer costs the store. */
  const cost = async (what: () => Promise<unknown>): Promise<number> => {
    const before = asked.length;
    await what();
    return asked.length - before;
  };
  return { ...stored, address, clock, farm, path, get, cost };
};

describe('an answer that is given again', () => {
  let w: Awaited<ReturnType<typeof world>>;
  beforeAll(async () => {
    w = await world();
  });
  afterAll(() => w.close());

  test('has every field and byte of the first but the id of the request and what is left, and asks nothing', async () => {
    const key = w.farm.keys.reader;
    const first = await w.get(key);
    let second = first;
    expect(
      await w.cost(async () => {
        second = await w.get(key);
      }),
    ).toBe(0);
    const { 'x-request-id': one, ratelimit: left, date: _, ...fields } = first.headers;
    const { 'x-request-id': other, ratelimit: less, date: __, ...again } = second.headers;
    expect(again).toEqual(fields);
    expect(second.text).toBe(first.text);
    expect(other).not.toBe(one);
    const of = (text = '') => Number(/r=(\d+)/.exec(text)?.[1]);
    expect(of(less)).toBe(of(left) - 1);
    expect((await w.get(key, { 'x-request-id': 'order-4711' })).headers['x-request-id']).toBe('order-4711');
  });

  test('is a new one after a change here', async () => {
    const key = w.farm.keys.keeper;
    const first = await w.get(key);
    const changed = { ...JSON.parse(first.text).data, name: 'Changed here' };
    const answer = await w.ask('PUT', w.path, { body: changed, headers: { 'if-match': first.headers.etag ?? '' } });
    expect(answer.statusCode).toBe(200);
    const second = await w.get(key);
    expect(JSON.parse(second.text).data.name).toBe('Changed here');
    expect(second.headers.etag).not.toBe(first.headers.etag);
  });

  test('is a new one after a change by another connection to the database', async () => {
    const key = w.farm.keys.keeper;
    const { id, data, version } = JSON.parse((await w.get(key)).text);
    await w.get(key);
    const other = await openStore(`sqlite:${w.folder}/farms.db`);
    const text = JSON.stringify({ ...data, name: 'Changed elsewhere' });
    await other.change({ farmId: w.farm.id, kind: 'field', id, parentId: null, text }, version, {
      keyId: 'k',
      atMs: 1,
    });
    await other.close();
    expect(JSON.parse((await w.get(key)).text).data.name).toBe('Changed elsewhere');
  });

  test('is for the same key only: another farm’s finds nothing, none and a wrong one are told so', async () => {
    const { keys } = w.farm;
    await w.get(keys.reader);
    expect((await w.get(w.farms[1].keys.keeper)).status).toBe(404);
    expect((await w.get(`${keys.reader.slice(0, -1)}!`)).status).toBe(401);
    expect((await w.get(null)).status).toBe(401);
  });

  test('is not for a condition, another form or a page of another origin', async () => {
    const key = w.farm.keys.reader;
    const { headers } = await w.get(key);
    expect((await w.get(key, { 'if-none-match': headers.etag ?? '' })).status).toBe(304);
    expect((await w.get(key, { accept: 'text/csv' })).status).toBe(406);
    expect((await w.get(key, {}, `${w.path}?nothing=1`)).status).toBe(
      (await w.ask('GET', `${w.path}?nothing=1`)).statusCode,
    );
  });

  test('is none once the key is revoked, or its time is over', async () => {
    const wish = { farmId: w.farm.id, role: 'reader', label: 'short', expiresAtMs: w.clock.ms + 1000 } as const;
    const short = await freshKey(w.deps, wish);
    expect((await w.get(short.text)).status).toBe(200);
    expect(await w.cost(() => w.get(short.text))).toBe(0);
    w.clock.ms += 1000;
    expect((await w.get(short.text)).status).toBe(401);
    const gone = await freshKey(w.deps, { ...wish, expiresAtMs: null });
    expect((await w.get(gone.text)).status).toBe(200);
    expect((await w.get(gone.text)).status).toBe(200);
    await w.deps.store.revokeKey(w.farm.id, gone.key.id, w.clock.ms);
    expect((await w.get(gone.text)).status).toBe(401);
  });

  test('is timed as any', async () => {
    const count = async () => {
      const { body } = await w.ask('GET', '/metrics');
      return Number(
        /seconds_count\{method="GET",route="\/v1\/farms\/:farmId\/fields\/:id",status="200"\} (\d+)/.exec(body)?.[1],
      );
    };
    const before = await count();
    for (let i = 0; i < 5; i++) await w.get(w.farm.keys.reader);
    expect(await count()).toBe(before + 5);
  });

  test('goes to whoever asked, in the order asked, when many are sent on one connection at once and another hangs up', async () => {
    const other = `/v1/farms/${w.farm.id}/stations/${w.farm.ids.station}`;
    const bodies = new Map<string, string>();
    for (const path of [w.path, other]) {
      await w.get(w.farm.keys.reader, {}, path);
      bodies.set(path, (await w.get(w.farm.keys.reader, {}, path)).text);
    }
    const asked = Array.from({ length: 40 }, (_, i) => (i % 3 === 0 ? other : w.path));
    const port = Number(new URL(w.address).port);
    const request = (path: string, last: boolean): string =>
      `GET ${path} HTTP/1.1\r\nhost: a\r\nauthorization: Bearer ${w.farm.keys.reader}\r\n${last ? 'connection: close\r\n' : ''}\r\n`;
    const gone = connect(port, '127.0.0.1').on('error', () => undefined);
    const socket = connect(port, '127.0.0.1');
    await Promise.all([once(gone, 'connect'), once(socket, 'connect')]);
    gone.write(request(w.path, false).repeat(20));
    gone.resetAndDestroy();
    const cost = await w.cost(async () => {
      socket.write(asked.map((path, i) => request(path, i === asked.length - 1)).join(''));
      const parts: Buffer[] = [];
      for await (const part of socket) parts.push(part as Buffer);
      const answers = Buffer.concat(parts)
        .toString()
        .split(/HTTP\/1\.1 200 [\s\S]*?\r\n\r\n/);
      expect(answers.slice(1)).toEqual(asked.map((path) => bodies.get(path)));
    });
    expect(cost).toBe(0);
  });
});

test('counts against the limit of its key, and over it is refused as any', async () => {
  const w = await world({ ratePerMinute: 40 });
  const key = w.farm.keys.reader;
  const statuses: number[] = [];
  for (let i = 0; i < 42; i++) statuses.push((await w.get(key)).status);
  expect(statuses).toEqual([...new Array(40).fill(200), 429, 429]);
  expect((await w.get(key)).headers['retry-after']).toMatch(/^\d+$/);
  await w.close();
});

test('is for a key that was right before too many wrong ones came from its address, and for no other', async () => {
  const w = await world();
  const key = w.farm.keys.reader;
  await w.get(key);
  expect(await w.cost(() => w.get(key))).toBe(0);
  const statuses: number[] = [];
  for (let i = 0; i < 11; i++) statuses.push((await w.get(`${key.slice(0, -3)}abc`)).status);
  expect(statuses.at(-1)).toBe(429);
  expect(await w.cost(() => w.get(key))).toBe(0);
  expect((await w.get(key)).status).toBe(200);
  expect((await w.get(w.farm.keys.planner)).status).toBe(429);
  w.clock.ms += 60_000;
  expect((await w.get(w.farm.keys.planner)).status).toBe(200);
  await w.close();
});

test('where the log tells of every read, it tells of every one', async () => {
  const lines: string[] = [];
  const w = await world({ logLevel: 'debug', logTo: { write: (line) => lines.push(line) } });
  for (let i = 0; i < 3; i++) await w.get(w.farm.keys.reader);
  expect(lines.filter((line) => line.includes(`"path":"${w.path}"`) && line.includes('"answered"'))).toHaveLength(3);
  await w.close();
});

test('where the database does not tell of writes, every read asks it', async () => {
  const w = await world();
  const { store } = w.deps;
  await w.app.close();
  const app = await statelessApp({ store: { ...store, generation: null } });
  const address = await app.listen({ host: '127.0.0.1', port: 0 });
  const ask = () => fetch(address + w.path, { headers: { authorization: `Bearer ${w.farm.keys.reader}` } });
  await ask();
  expect(await w.cost(ask)).toBeGreaterThan(0);
  await app.close();
  await w.close();
});
