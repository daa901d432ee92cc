import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bodies } from '../../src/http/examples/records.ts';
import { readerKey, statelessApp } from './fakes.ts';
import { type Stored, storedApp } from './stored.ts';

let stored: Stored;
beforeAll(async () => {
  stored = await storedApp({ origins: ['https://farm.example'] });
  const days = Array.from({ length: 4000 }, (_, i) => i);
  const body = {
    startDate: '2015-01-01',
    tempMaxC: days.map((i) => 15.5 + (i % 7)),
    tempMinC: days.map((i) => 4.5 + (i % 5)),
    rainMm: days.map((i) => i % 3),
  };
  expect((await stored.ask('PUT', weather(), { body })).statusCode).toBe(200);
});
afterAll(() => stored.close());

const weather = () => `/v1/farms/${stored.farms[0].id}/stations/${stored.farms[0].ids.station}/weather`;

const around = Array.from({ length: 300 }, (_, i) => {
  const angle = (2 * Math.PI * i) / 300;
  return [-93.1 + 0.004 * Math.cos(angle), 41.7 + 0.003 * Math.sin(angle)];
});
const outline = { type: 'Polygon', coordinates: [[...around, around[0]]] };

describe.each([
  ['an entry of the catalogue', () => '/v1/catalogue/species/giant-foxtail'],
  ['weather', () => weather()],
  ['weather in US units', () => `${weather()}?units=us`],
])('%s', (_, url) => {
  const ask = (headers: Record<string, string>, method: 'GET' | 'HEAD' = 'GET') =>
    stored.app.inject({ method, url: url(), headers: { authorization: `Bearer ${stored.operator}`, ...headers } });

  test('has a tag for each of its forms, and says that it goes by Accept-Encoding', async () => {
    const [plain, gzip, br] = [
      await ask({}),
      await ask({ 'accept-encoding': 'x-gzip' }),
      await ask({ 'accept-encoding': 'gzip, br' }),
    ];
    expect([plain, gzip, br].map(({ headers }) => headers['content-encoding'])).toEqual([undefined, 'gzip', 'br']);
    if (url().includes('weather')) expect(plain.body.length).toBeGreaterThan(40_000);
    expect(gunzipSync(gzip.rawPayload).toString()).toBe(plain.body);
    expect(brotliDecompressSync(br.rawPayload).toString()).toBe(plain.body);
    expect(new Set([plain, gzip, br].map(({ headers }) => headers.etag)).size).toBe(3);
    for (const { headers } of [plain, gzip, br]) expect(String(headers.vary)).toMatch(/\baccept-encoding\b/);
  });

  test('is 304 where the caller has the plain form or one in a packing that he takes, under the tag that he has', async () => {
    const tags: Record<string, string> = {};
    for (const packing of ['identity', 'gzip', 'br'])
      tags[packing] = String((await ask({ 'accept-encoding': packing })).headers.etag);
    const status = async (held: string, packing: string) => {
      const answer = await ask({ 'accept-encoding': packing, 'if-none-match': tags[held] ?? '' });
      if (answer.statusCode === 304) {
        expect([answer.headers.etag, answer.body]).toEqual([tags[held], '']);
        expect(String(answer.headers.vary)).toMatch(/\baccept-encoding\b/);
      }
      return answer.statusCode;
    };
    expect(await status('gzip', 'br, gzip')).toBe(304);
    for (const packing of ['identity', 'gzip', 'br']) {
      expect(await status(packing, packing)).toBe(304);
      expect(await status('identity', packing)).toBe(304);
    }
    expect([await status('gzip', 'identity'), await status('gzip', 'br'), await status('br', 'gzip')]).toEqual([
      200, 200, 200,
    ]);
  });

  test.each(['identity', 'gzip'])('has the same header fields for HEAD as for GET, %s', async (packing) => {
    const fields = async (method: 'GET' | 'HEAD') => {
      const { headers } = await ask({ 'accept-encoding': packing }, method);
      const { 'x-request-id': _, ratelimit: __, date: ___, ...same } = headers;
      return same;
    };
    expect(await fields('HEAD')).toEqual(await fields('GET'));
  });
});

test('what is short goes to all alike, with one tag', async () => {
  const url = `/v1/farms/${stored.farms[0].id}`;
  const [plain, packed] = [
    await stored.ask('GET', url),
    await stored.ask('GET', url, { headers: { 'accept-encoding': 'gzip' } }),
  ];
  expect([packed.body, packed.headers.etag]).toEqual([plain.body, plain.headers.etag]);
  expect([packed.headers['content-encoding'], packed.headers.vary]).toEqual([undefined, plain.headers.vary]);
});

test('a change may be meant for the version that came packed', async () => {
  const [{ id: farmId, ids }] = stored.farms;
  const body = { ...bodies.field, stationId: ids.station, geometry: outline };
  const made = await stored.ask('POST', `/v1/farms/${farmId}/fields`, { body });
  const url = `/v1/farms/${farmId}/fields/${made.json().id}`;
  const { headers } = await stored.ask('GET', url, { headers: { 'accept-encoding': 'gzip' } });
  expect(headers['content-encoding']).toBe('gzip');
  const put = () => stored.ask('PUT', url, { body, headers: { 'if-match': String(headers.etag) } });
  expect([(await put()).statusCode, (await put()).statusCode]).toEqual([200, 412]);
});

test('what a page of another origin gets goes by its origin, its type and its packing', async () => {
  const headers = { origin: 'https://farm.example', 'accept-encoding': 'gzip' };
  const { vary } = (await stored.ask('GET', weather(), { headers })).headers;
  expect(String(vary).toLowerCase().split(', ')).toEqual(['origin', 'accept', 'accept-encoding']);
});

test('pictures of the documentation are not packed, its program is', async () => {
  const own = await statelessApp();
  const packing = async (url: string) =>
    (await own.inject({ url, headers: { ...readerKey, 'accept-encoding': 'gzip' } })).headers['content-encoding'];
  expect(await packing('/docs/static/swagger-ui-bundle.js')).toBe('gzip');
  expect(await packing('/docs/static/favicon-32x32.png')).toBeUndefined();
  await own.close();
});
