import { readdirSync, readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bodies } from '../../src/http/examples/records.ts';
import { MOST_MS } from '../../src/http/inTime.ts';
import { MOST_DEEP } from '../../src/http/json.ts';
import type { Row } from '../../src/store/contract.ts';
import { type Stored, storedApp } from './stored.ts';
import { document, operations } from './walks/operations.ts';

/** OWASP API Security Top 10, 2023: one test an item, or where else it is tested and why. */
let stored: Stored;
beforeAll(async () => {
  stored = await storedApp();
});
afterAll(() => stored.close());

const farmUrl = (path = '') => `/v1/farms/${stored.farms[0].id}${path}`;

/** Titles of the tests in a file, so that a reason that names one cannot outlive it. */
const titles = (file: string): string => readFileSync(new URL(file, import.meta.url), 'utf8');

test('1 object level: walks/ send every route the key of another farm, and ids of another farm in path and body', () => {
  const walks = titles('walks/walks.test.ts');
  for (const title of [
    'with the key of another farm every route of a farm is 404',
    'ids of another farm under the own one are 404',
    'in the body: ',
  ])
    expect(walks).toContain(title);
  expect(operations.filter(({ path }) => path.includes('{farmId}')).length).toBeGreaterThan(40);
});

describe('2 authentication', () => {
  test('a key is nowhere in the database, and none is taken from the address', async () => {
    const { key } = (await stored.ask('POST', farmUrl('/keys'), { body: { role: 'reader', label: 'Secret' } })).json();
    const folder = stored.folder;
    const secret = key.slice(-43);
    const files = readdirSync(folder).map((file) => readFileSync(`${folder}/${file}`).toString('latin1'));
    expect(files.join('')).toContain('Secret');
    expect(files.join('')).not.toContain(secret);
    for (const name of ['key', 'api_key', 'access_token'])
      expect((await stored.ask('GET', `${farmUrl('/fields')}?${name}=${key}`, { key: null })).statusCode).toBe(401);
  });

  test('a cut, lengthened or changed key is 401', async () => {
    const { reader } = stored.farms[0].keys;
    for (const key of [
      reader.slice(0, -1),
      `${reader}A`,
      reader.replace(/.$/, (last) => (last === 'A' ? 'B' : 'A')),
      reader.toUpperCase(),
    ])
      expect((await stored.ask('GET', farmUrl(), { key })).statusCode).toBe(401);
  });
});

test('3 property level: what a row holds beside its text never leaves; extra properties of requests are walked', async () => {
  const own = await storedApp({}, {});
  const { read } = own.deps.store;
  const leaky = async (...place: Parameters<typeof read>) =>
    ({ ...(await read(...place)), internalNote: 'cost price' }) as unknown as Row;
  Object.assign(own.deps.store, { read: leaky });
  const [farm] = own.farms;
  for (const path of ['', `/fields/${farm.ids.field}`, '/fields', '/history', '/keys'])
    expect((await own.ask('GET', `/v1/farms/${farm.id}${path}`)).body).not.toContain('cost price');
  await own.close();
  expect(titles('walks/walks.test.ts')).toContain('a property that is not in the schema is refused');
});

describe('4 resources', () => {
  test('size, depth, page, days and fields are bounded', async () => {
    const { body } = operations.find(({ id }) => id === 'createField') as (typeof operations)[number];
    const post = (sent: unknown) =>
      stored.ask('POST', farmUrl('/fields'), { body: sent, headers: { 'content-type': 'application/json' } });
    expect((await post(`"${'x'.repeat(1024 * 1024)}"`)).statusCode).toBe(413);
    expect((await post('[{"a":'.repeat(MOST_DEEP))).statusCode).toBe(413);
    expect((await post({ ...body, ownSpecies: Array(51).fill({}) })).statusCode).toBe(400);
    expect((await stored.ask('GET', farmUrl('/fields?limit=10000'))).statusCode).toBe(400);
    expect((await stored.ask('GET', farmUrl('/tomorrow?days=4000'))).statusCode).toBe(400);
    const tooLong = { startDate: '1900-01-01', tempMaxC: Array(22_000).fill(1), tempMinC: [], rainMm: [] };
    const url = farmUrl(`/stations/${stored.farms[0].ids.station}/weather`);
    expect((await stored.ask('PUT', url, { body: tooLong })).statusCode).toBe(400);
  });

  test('a body in which everything is wrong costs little and lists fifty problems', async () => {
    const weather = {
      startDate: '2026-01-01',
      tempMaxC: Array(3000).fill(999),
      tempMinC: Array(3000).fill('x'),
      rainMm: Array(3000).fill(-1),
    };
    const url = farmUrl(`/stations/${stored.farms[0].ids.station}/weather`);
    await stored.ask('PUT', url, { body: weather });
    const from = process.cpuUsage();
    const answer = await stored.ask('PUT', url, { body: weather });
    const usedMs = process.cpuUsage(from).user / 1000;
    expect(answer.json().problems).toHaveLength(50);
    expect(usedMs).toBeLessThan(300);
  });

  test('slow requests and idle connections end, and a computation has its time', () => {
    const { server } = stored.app;
    expect(server.requestTimeout).toBe(30_000);
    expect(server.headersTimeout).toBeGreaterThan(0);
    expect(server.timeout).toBe(75_000);
    expect(server.timeout).toBeGreaterThan(MOST_MS);
    expect(server.keepAliveTimeout).toBe(72_000);
  });
});

test('5 function level: walks/ hold every role against every route', () => {
  expect(titles('walks/walks.test.ts')).toContain('every route asks for its role');
  for (const { id, shown } of operations)
    expect(['none', 'reader', 'planner', 'keeper', 'operator'], id).toContain(shown['x-role']);
});

test('6 business flows: what is dear is limited by key; weather is asked for once however many ask (tests/sources)', async () => {
  const own = await storedApp({ ratePerMinute: 30 });
  const [farm] = own.farms;
  const ask = () => own.ask('GET', `/v1/farms/${farm.id}/tomorrow?days=0`, { key: farm.keys.reader });
  const statuses = (await Promise.all(Array.from({ length: 31 }, ask))).map(({ statusCode }) => statusCode);
  expect(statuses.filter((status) => status === 429)).toHaveLength(1);
  await own.close();
});

describe('7 no request can name an address to call', () => {
  test('no schema of a request has an address in it', () => {
    const asked = Object.values(document.paths).flatMap((methods) =>
      Object.values(methods).map(({ requestBody }) => requestBody),
    );
    expect(JSON.stringify(asked)).not.toMatch(/"format":"ur[il]/);
    expect(JSON.stringify(asked)).not.toMatch(/"(url|uri|href|webhook|callback)"/i);
  });

  test.each(['http://127.0.0.1/', 'a/../../b', 'x@host', '//host', '1.2.3.4:80', 'a%2fb'])(
    'a station of a source cannot be %s',
    async (sourceStation) => {
      const answer = await stored.ask('POST', farmUrl('/stations'), {
        body: { ...bodies.station, observed: 'ncei', sourceStation },
      });
      expect(answer.statusCode).toBe(400);
      expect(answer.json().problems[0].where).toBe('sourceStation');
    },
  );
});

test('8 configuration: closed to other origins, no stack, no methods beside those offered', async () => {
  const answer = await stored.ask('GET', farmUrl(), { headers: { origin: 'https://evil.example' } });
  expect(answer.headers['access-control-allow-origin']).toBeUndefined();
  const broken = await stored.ask('POST', farmUrl('/fields'), {
    body: '{"name":',
    headers: { 'content-type': 'application/json' },
  });
  expect(broken.statusCode).toBe(400);
  expect(broken.body).not.toMatch(/\.ts|node_modules|at \w+ \(/);
  const trace = await stored.app.inject({ method: 'TRACE' as 'GET', url: farmUrl() });
  expect(trace.statusCode).toBe(405);
});

test('9 inventory: openapi.test.ts holds what is served against what is documented; no route says debug or test', () => {
  expect(titles('openapi.test.ts')).toContain('what is served is what is documented, both ways');
  for (const { path } of operations) expect(path).not.toMatch(/debug|test|admin|internal/i);
});

test('10 other services: their weather is checked as if an enemy sent it (tests/sources/live), in one suite for all', () => {
  const suites = readdirSync(new URL('../sources/live', import.meta.url));
  expect(suites.length).toBeGreaterThan(3);
});
