import { request } from 'undici';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type Client, sourceClient } from '../../../src/sources/live/client.ts';
import { usualLimits } from '../../../src/sources/live/http.ts';
import { nobodyWatches } from '../../../src/sources/live/watch.ts';
import { inTurn, type Mood, silent, status, type WeatherStub, weatherStub, well } from '../../support/weatherStub.ts';
import { errorOf } from '../../support/weatherWorld.ts';

const same = (body: unknown): unknown => body;
const path = (n = 0): string => `/gridpoints/DMX/${n},0`;

describe('the client of a source', () => {
  let stub: WeatherStub;
  let forwardMs = 0;
  let chance = 0.5;
  let watch = nobodyWatches;
  const clientOf = (limits: Partial<typeof usualLimits> = {}, baseUrl = stub.url): Client =>
    sourceClient({
      id: 'test',
      baseUrl,
      userAgent: 'whitethread/0 (test)',
      nowMs: () => Date.now() + forwardMs,
      random: () => chance,
      usualFreshMs: 0,
      mostKept: 3,
      watch,
      limits: { ...usualLimits, firstWaitMs: 2, ...limits },
    });
  beforeEach(async () => {
    stub = await weatherStub();
    forwardMs = 0;
    chance = 0.5;
    watch = nobodyWatches;
  });
  afterEach(() => stub.close());

  test('Retry-After of a second is waited for, then it answers', async () => {
    stub.mood = inTurn(status(429, { 'retry-after': '1' }), well());
    const startedMs = performance.now();
    await clientOf().get(path(), same);
    expect(performance.now() - startedMs).toBeGreaterThanOrEqual(1000);
    expect(stub.hits).toHaveLength(2);
  });

  test('Retry-After beyond the time allowed is not waited for', async () => {
    stub.mood = status(503, { 'retry-after': '30' });
    const startedMs = performance.now();
    expect((await errorOf(clientOf().get(path(), same))).message).toContain('HTTP 503');
    expect(performance.now() - startedMs).toBeLessThan(500);
    expect(stub.hits).toHaveLength(1);
  });

  test('headers that do not come are asked for again', async () => {
    stub.mood = inTurn(silent, well());
    await clientOf({ headersMs: 300 }).get(path(), same);
    expect(stub.hits).toHaveLength(2);
  });

  test('a body that stalls is given up and asked for again', async () => {
    const stalls: Mood = (response) => void response.writeHead(200, { 'content-length': '100' }).write('{');
    stub.mood = inTurn(stalls, well());
    await clientOf({ bodyMs: 300 }).get(path(), same);
    expect(stub.hits).toHaveLength(2);
  });

  test('nobody listens: unavailable, without the address in the message', async () => {
    const { url } = stub;
    await stub.close();
    const error = await errorOf(clientOf({}, url).get(path(), same));
    expect(error.code).toBe('source-unavailable');
    expect(error.message).toContain('ECONNREFUSED');
    expect(error.message).not.toContain('127.0.0.1');
  });

  test('TLS spoken to a server that does not: unavailable', async () => {
    const error = await errorOf(clientOf({}, stub.url.replace('http:', 'https:')).get(path(), same));
    expect(error.code).toBe('source-unavailable');
  });

  test('never more calls at a time than connections allowed', async () => {
    let open = 0;
    let most = 0;
    stub.mood = (response, ...rest) => {
      most = Math.max(most, ++open);
      setTimeout(() => {
        open--;
        well()(response, ...rest);
      }, 10);
    };
    const client = clientOf({ connections: 3 });
    await Promise.all(Array.from({ length: 30 }, (_, n) => client.get(path(n), same)));
    expect(most).toBe(3);
    expect(stub.hits).toHaveLength(30);
  });

  test('many questions at once to a dead source: 4 connections see 5 failures and the rest is not asked', async () => {
    stub.mood = status(500);
    const client = clientOf();
    const answers = await Promise.allSettled(Array.from({ length: 150 }, (_, n) => client.get(path(n), same)));
    expect(answers.every(({ status: how }) => how === 'rejected')).toBe(true);
    // Those that were on their way when the fifth failed are heard to the end.
    expect(stub.hits.length).toBeLessThanOrEqual(5 + 3);
  });

  test('a probe that fails tells so at once, it is not tried again', async () => {
    stub.mood = status(502);
    const client = clientOf({ firstWaitMs: 2_000 });
    chance = 0;
    await errorOf(client.get(path(), same));
    await errorOf(client.get(path(), same));
    expect(stub.hits).toHaveLength(5);
    chance = 1;
    forwardMs = 61_000;
    const startedMs = performance.now();
    expect((await errorOf(client.get(path(), same))).message).toContain('HTTP 502');
    expect(performance.now() - startedMs).toBeLessThan(500);
    expect(stub.hits).toHaveLength(6);
  });

  test('whoever watches is told of every failure, and once that it is left alone and that it is back', async () => {
    const told: unknown[][] = [];
    watch = {
      failed: (...about) => void told.push(['failed', ...about]),
      stopped: (...about) => void told.push(['stopped', ...about]),
      isBack: (...about) => void told.push(['isBack', ...about]),
    };
    const client = clientOf();
    stub.mood = status(502);
    await errorOf(client.get(path(), same));
    await errorOf(client.get(path(), same));
    await errorOf(client.get(path(), same));
    const failed = ['failed', 'test', 'source-unavailable'];
    const stopped = ['stopped', 'test', expect.stringContaining('HTTP 502')];
    expect(told).toEqual([failed, failed, failed, failed, failed, stopped]);
    forwardMs = 61_000;
    await errorOf(client.get(path(), same));
    expect(told.slice(6)).toEqual([failed]);
    forwardMs = 122_000;
    stub.mood = well();
    await client.get(path(), same);
    await client.get(path(), same);
    expect(told.slice(7)).toEqual([['isBack', 'test']]);
  });

  test('a question that it cannot answer is no failure for those who watch', async () => {
    const told: unknown[] = [];
    const tell = (...about: unknown[]) => void told.push(about);
    watch = { failed: tell, stopped: tell, isBack: tell };
    stub.mood = status(404);
    const error = await errorOf(clientOf().get(path(), same));
    expect([error.code, told]).toEqual(['source-outside', []]);
  });

  test('a stream of malformed answers opens the breaker too', async () => {
    const client = clientOf();
    const read = (): never => {
      throw Object.assign(new Error('no weather'), { blamed: true, retryable: false, retryAfterMs: null });
    };
    for (let n = 0; n < 20; n++) await client.get(path(n), read).catch(() => {});
    expect(stub.hits).toHaveLength(5);
  });

  test('questions that it cannot answer do not count against it', async () => {
    stub.mood = status(404);
    const client = clientOf();
    for (let n = 0; n < 20; n++) expect((await errorOf(client.get(path(n), same))).code).toBe('source-outside');
    expect(stub.hits).toHaveLength(20);
  });

  test('the stub is as strict as the services: 403 to who does not say who they are', async () => {
    const { statusCode, body } = await request(`${stub.url}${path()}`);
    await body.dump();
    expect(statusCode).toBe(403);
  });

  test('only so many answers are kept, those kept longest go first', async () => {
    stub.mood = well({ 'cache-control': 'max-age=600' });
    const client = clientOf();
    for (const n of [0, 1, 2, 3, 3, 1, 0]) await client.get(path(n), same);
    expect(stub.hits.map(({ path: asked }) => asked)).toEqual([0, 1, 2, 3, 0].map(path));
  });

  test('an answer of before the clock was put back is asked for anew', async () => {
    stub.mood = well({ 'cache-control': 'max-age=600' });
    const client = clientOf();
    forwardMs = 365 * 86_400_000;
    await client.get(path(), same);
    forwardMs = 0;
    for (let n = 0; n < 2; n++) await client.get(path(), same);
    expect(stub.hits).toHaveLength(2);
  });

  test('304 where nothing is kept is malformed', async () => {
    stub.mood = (response) => void response.writeHead(304).end();
    expect((await errorOf(clientOf().get(path(), same))).code).toBe('source-malformed');
  });

  test('Last-Modified alone is enough for a condition', async () => {
    const at = 'Mon, 15 Jun 2026 10:00:00 GMT';
    stub.mood = (response, body, request) =>
      request.headers['if-modified-since'] === at
        ? void response.writeHead(304, { 'cache-control': 'no-cache' }).end()
        : void response.writeHead(200, { 'last-modified': at, 'cache-control': 'no-cache' }).end(JSON.stringify(body));
    const client = clientOf();
    const first = await client.get(path(), same);
    const second = await client.get(path(), same);
    expect(second.value).toBe(first.value);
    expect(stub.hits.map(({ headers }) => headers['if-modified-since'])).toEqual([undefined, at]);
  });

  test('a base address below a path keeps the path', async () => {
    stub.mood = well();
    await errorOf(clientOf({}, `${stub.url}/weather/`).get(path(), same));
    expect(stub.hits[0]?.path).toBe(`/weather${path()}`);
  });

  test.each([
    ['to itself', path(), 'source-malformed', 1],
    ['ever further', '?', 'source-unavailable', 3],
    ['to a file', 'file:///etc/hosts', 'source-malformed', 1],
    ['to no address', 'http://[', 'source-malformed', 1],
  ])('a redirect %s ends', async (_, location, code, calls) => {
    let n = 0;
    stub.mood = (response) =>
      void response.writeHead(302, { location: location === '?' ? `${path(++n)}?a=${n}` : location }).end();
    expect((await errorOf(clientOf().get(path(), same))).code).toBe(code);
    expect(stub.hits).toHaveLength(calls);
  });
});
