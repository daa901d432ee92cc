import { connect } from 'node:net';
import { gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import type { App } from '../../src/http/contract.ts';
import { bodies } from '../../src/http/examples/records.ts';
import { freshKey } from '../../src/service/keys.ts';
import type { Store } from '../../src/store/contract.ts';
import { operatorKey, readerKey, smallField, statelessApp } from './fakes.ts';
import { storedApp } from './stored.ts';

let app: App;
beforeAll(async () => {
  app = await statelessApp();
});
afterAll(() => app.close());

const outlookPost = (payload: string | Buffer, headers: Record<string, string> = {}) => ({
  method: 'POST' as const,
  url: '/v1/outlooks',
  headers: { ...readerKey, 'content-type': 'application/json', ...headers },
  payload,
});

describe('who', () => {
  test.each([
    ['no key', {}],
    ['a wrong key', { authorization: 'Bearer wrong' }],
    ['another scheme', { authorization: 'Basic cmVhZGVyLWtleTo=' }],
    ['two keys in one', { authorization: `${readerKey.authorization} more` }],
    ['a key with another secret', { authorization: readerKey.authorization.replace(/S$/, 'T') }],
    ['a key of 10,000 letters', { authorization: `Bearer ${'x'.repeat(10_000)}` }],
  ])('%s is 401 with WWW-Authenticate', async (_, headers) => {
    const own = await statelessApp();
    const answer = await own.inject({ url: '/v1/catalogue/species', headers });
    expect(answer.statusCode).toBe(401);
    expect(answer.headers['www-authenticate']).toBe('Bearer');
    expect(answer.json().type).toBe('/errors#unauthenticated');
    await own.close();
  });

  test('a reader may not read the figures: 403', async () => {
    expect((await app.inject({ url: '/metrics', headers: readerKey })).statusCode).toBe(403);
    const figures = await app.inject({ url: '/metrics', headers: operatorKey });
    expect(figures.body).toContain('whitethread_http_request_seconds_bucket');
  });

  test('a route that declares no role stops the start', async () => {
    const { default: fastify } = await import('fastify');
    const { access } = await import('../../src/http/access.ts');
    const bare = fastify() as unknown as App;
    access(bare, {} as Parameters<typeof access>[1], {} as Parameters<typeof access>[2]);
    expect(() => bare.get('/v1/forgotten', () => 'open to all')).toThrow(/declares no role/);
  });
});

describe('how often', () => {
  test('so many a minute for a key, told in RateLimit and RateLimit-Policy, then 429 with Retry-After', async () => {
    const own = await statelessApp({}, { ratePerMinute: 3 });
    const ask = (headers: Record<string, string>) => own.inject({ url: '/v1/catalogue/crops', headers });
    const first = await ask(readerKey);
    expect(first.headers['ratelimit-policy']).toBe('"minute";q=3;w=60');
    expect(first.headers.ratelimit).toMatch(/^"minute";r=2;t=\d+$/);
    await ask(readerKey);
    await ask(readerKey);
    const over = await ask(readerKey);
    expect(over.statusCode).toBe(429);
    expect(over.headers['content-type']).toBe('application/problem+json; charset=utf-8');
    expect(Number(over.headers['retry-after'])).toBeGreaterThan(0);
    expect((await ask(operatorKey)).statusCode).toBe(200);
    expect((await own.inject('/health')).statusCode).toBe(200);
    await own.close();
  });

  test('ten wrong keys a minute from one address, then no key is tried; other addresses go on', async () => {
    const own = await statelessApp();
    const ask = (key: string | null, remoteAddress: string) =>
      own.inject({
        url: '/v1/catalogue/crops',
        headers: key === null ? readerKey : { authorization: `Bearer ${key}` },
        remoteAddress,
      });
    for (let i = 0; i < 10; i++) expect((await ask(`wrong${i}`, '192.0.2.1')).statusCode).toBe(401);
    expect((await ask('wrong', '192.0.2.1')).statusCode).toBe(429);
    expect((await ask(null, '192.0.2.1')).statusCode).toBe(429);
    expect((await ask(null, '192.0.2.2')).statusCode).toBe(200);
    await own.close();
  });

  test('keys that were right once are no guesses, and shut no other key out', async () => {
    const { ask, farms, deps, operator, close } = await storedApp();
    const [{ id, keys }] = farms;
    const status = async (key: string) => (await ask('GET', `/v1/farms/${id}`, { key })).statusCode;
    const wish = { farmId: id, role: 'reader', label: 'Old tablet', expiresAtMs: null } as const;
    const { key, text } = await freshKey(deps, wish);
    await ask('DELETE', `/v1/farms/${id}/keys/${key.id}`);
    const over = { ...wish, expiresAtMs: 2 };
    const { text: expired } = await freshKey({ ...deps, nowMs: () => 1 }, over);
    for (let i = 0; i < 10; i++) expect([await status(text), await status(expired)]).toEqual([401, 401]);
    expect(await status(keys.reader)).toBe(200);
    for (let i = 0; i < 10; i++) expect(await status(`wrong${i}`)).toBe(401);
    expect([await status('wrong'), await status(keys.keeper)]).toEqual([429, 429]);
    expect([await status(keys.reader), await status(operator), await status(text)]).toEqual([200, 200, 401]);
    await close();
  });

  test('another id with the secret of a known key is a guess', async () => {
    const { ask, farms, close } = await storedApp();
    const [{ id, keys }] = farms;
    const status = async (key: string) => (await ask('GET', `/v1/farms/${id}`, { key })).statusCode;
    expect(await status(keys.reader)).toBe(200);
    const secret = keys.reader.replace(/^wt_[^_]+/, '');
    const statuses: number[] = [];
    for (let i = 0; i < 11; i++) statuses.push(await status(`wt_${'0'.repeat(24)}${10 + i}${secret}`));
    expect(statuses).toEqual([...new Array(10).fill(401), 429]);
    expect(await status(keys.reader)).toBe(200);
    await close();
  });

  test('a key that was revoked counts against its address, as a request without one', async () => {
    const stored = await storedApp({ ratePerMinute: 40 });
    const [{ id }] = stored.farms;
    const wish = { farmId: id, role: 'reader', label: 'Old tablet', expiresAtMs: 2 } as const;
    const { text } = await freshKey({ ...stored.deps, nowMs: () => 1 }, wish);
    const statuses: number[] = [];
    for (let i = 0; i < 41; i++) statuses.push((await stored.ask('GET', `/v1/farms/${id}`, { key: text })).statusCode);
    expect(statuses).toEqual([...new Array(40).fill(401), 429]);
    await stored.close();
  });
});

describe('what', () => {
  test('bodies of another prototype are not taken', async () => {
    for (const name of ['__proto__', 'constructor']) {
      const body = JSON.stringify(smallField).replace('{', `{"${name}":{"prototype":{"role":"operator"}},`);
      const answer = await app.inject(outlookPost(body));
      expect(answer.statusCode, name).toBe(400);
    }
    expect(({} as { role?: string }).role).toBeUndefined();
  });

  test('compressed bodies are read, broken ones are 400, unknown compression is 415', async () => {
    const packed = gzipSync(JSON.stringify(smallField));
    const good = await app.inject(outlookPost(packed, { 'content-encoding': 'gzip' }));
    expect(good.statusCode).toBe(200);
    for (const coding of ['GZIP', 'x-gzip', 'X-GZip'])
      expect([coding, (await app.inject(outlookPost(packed, { 'content-encoding': coding }))).statusCode]).toEqual([
        coding,
        200,
      ]);
    const plain = await app.inject(outlookPost(JSON.stringify(smallField), { 'content-encoding': 'Identity' }));
    expect([plain.statusCode, plain.body]).toEqual([200, good.body]);
    const cut = await app.inject(outlookPost(packed.subarray(0, 40), { 'content-encoding': 'gzip' }));
    expect(cut.statusCode).toBe(400);
    expect(cut.headers['content-type']).toBe('application/problem+json; charset=utf-8');
    const odd = await app.inject(outlookPost(packed, { 'content-encoding': 'LZMA' }));
    expect([odd.statusCode, odd.json().problems[0]]).toMatchObject([
      415,
      { where: 'header Content-Encoding', given: 'LZMA', allowed: 'gzip, deflate, br, or none' },
    ]);
  });

  test('a small body that unpacks to more than the limit is 413', async () => {
    const bomb = gzipSync(Buffer.alloc(50 * 1024 * 1024, ' '));
    expect(bomb.length).toBeLessThan(60_000);
    const answer = await app.inject(outlookPost(bomb, { 'content-encoding': 'gzip' }));
    expect([answer.statusCode, answer.json().problems[0]]).toMatchObject([
      413,
      { given: 'more than 1048576 bytes, unpacked', allowed: 'at most 1048576 bytes' },
    ]);
  });

  test.each(['TRACE', 'DELETE', 'PUT', 'OPTIONS'] as const)(
    '%s where it is not offered is 405 with Allow',
    async (method) => {
      const answer = await app.inject({ method: method as 'GET', url: '/v1/outlooks', headers: readerKey });
      expect(answer.statusCode).toBe(405);
      expect(answer.headers.allow).toBe('POST');
      expect(answer.json()).toMatchObject({
        type: '/errors#method-not-allowed',
        problems: [{ code: 'method-not-allowed', where: 'method', given: method, allowed: 'POST' }],
      });
    },
  );

  test('an address that is not there is 404, one that is none is 400, both problems', async () => {
    for (const [url, status] of [
      ['/v2/farms', 404],
      ['/v1/catalogue/species/%E0%A4%A', 400],
      [`/v1/catalogue/species/${'x'.repeat(500)}`, 400],
    ] as const) {
      const answer = await app.inject({ url, headers: readerKey });
      expect([url.slice(0, 40), answer.statusCode]).toEqual([url.slice(0, 40), status]);
      expect(answer.headers['content-type']).toBe('application/problem+json; charset=utf-8');
    }
  });

  test('bytes that are no HTTP get a problem and the end of the connection', async () => {
    const own = await statelessApp();
    const { port } = new URL(await own.listen({ host: '127.0.0.1', port: 0 }));
    const talk = (bytes: string): Promise<string> =>
      new Promise((resolve) => {
        let text = '';
        const socket = connect(Number(port), '127.0.0.1', () => socket.write(bytes));
        socket.on('data', (data) => {
          text += data;
        });
        socket.on('close', () => resolve(text));
      });
    expect(await talk('hello\r\n\r\n')).toMatch(/^HTTP\/1\.1 400[\s\S]*application\/problem\+json/);
    expect(await talk(`GET / HTTP/1.1\r\nHost: a\r\nX: ${'x'.repeat(100_000)}\r\n\r\n`)).toMatch(/^HTTP\/1\.1 431/);
    await own.close();
  });
});

describe('answers', () => {
  test('carry the headers that keep browsers out, and no name of the software', async () => {
    const { headers } = await app.inject({ url: '/v1/catalogue/crops', headers: readerKey });
    expect(headers['content-security-policy']).toBe("default-src 'none'; frame-ancestors 'none'");
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['strict-transport-security']).toMatch(/max-age=\d{7,}/);
    expect(headers['access-control-allow-origin']).toBeUndefined();
    expect(headers.server).toBeUndefined();
    expect(headers['x-powered-by']).toBeUndefined();
  });

  test('have a browser that reads the API by plain http ask for its parts likewise', async () => {
    for (const url of ['/docs', '/docs/', '/docs/static/swagger-ui.css', '/docs/json', '/health', '/nowhere']) {
      const policy = String((await app.inject({ url })).headers['content-security-policy']);
      expect(policy, url).toContain('default-src');
      expect(policy, url).not.toContain('upgrade-insecure-requests');
    }
    const page = String((await app.inject({ url: '/docs/' })).headers['content-security-policy']);
    expect(page).toMatch(/^default-src 'self';.*; script-src 'self' ;.*style-src 'self' https: *;$/);
  });

  test('let pages of the origins that were set read them, and no others', async () => {
    const own = await statelessApp({}, { origins: ['https://farm.example'] });
    const from = async (origin: string) =>
      (await own.inject({ url: '/v1/catalogue/crops', headers: { ...readerKey, origin } })).headers[
        'access-control-allow-origin'
      ];
    expect(await from('https://farm.example')).toBe('https://farm.example');
    expect(await from('https://elsewhere.example')).toBeUndefined();
    const asked = { ...readerKey, origin: 'https://farm.example', 'access-control-request-method': 'DELETE' };
    const preflight = await own.inject({ method: 'OPTIONS', url: '/v1/farms', headers: asked });
    expect(preflight.headers['access-control-allow-methods']).toContain('DELETE');
    expect((await own.inject({ url: '/nowhere' })).statusCode).toBe(404);
    expect((await own.inject({ method: 'PUT', url: '/health' })).headers.allow).toBe('GET, HEAD');
    await own.close();
  });

  test('keep the request id of the caller where it is harmless, and make one where it is not', async () => {
    const id = async (given: string) =>
      (await app.inject({ url: '/health', headers: { 'x-request-id': given } })).headers['x-request-id'];
    expect(await id('order-4711.a')).toBe('order-4711.a');
    expect(await id('<script>alert(1)</script>')).toMatch(/^[0-9a-f-]{36}$/);
    expect(await id('x'.repeat(65))).toMatch(/^[0-9a-f-]{36}$/);
  });

  test('leave whole when they are compressed as a stream', async () => {
    const fields = Array.from({ length: 12 }, (_, i) => ({ ...smallField, name: `field ${i}` }));
    const ask = (headers: Record<string, string>) =>
      app.inject({
        method: 'POST',
        url: '/v1/outlook-batches',
        headers: { ...readerKey, 'content-type': 'application/json', ...headers },
        payload: JSON.stringify({ fields }),
      });
    const [plain, packed] = [await ask({}), await ask({ 'accept-encoding': 'gzip' })];
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(plain.rawPayload.length).toBeGreaterThan(100_000);
    expect(gunzipSync(packed.rawPayload).toString()).toBe(plain.body);
  });

  test('are compressed when large, and the ETag answers 304', async () => {
    const url = '/v1/catalogue/species/waterhemp';
    const large = await app.inject({ url, headers: { ...readerKey, 'accept-encoding': 'gzip' } });
    expect(large.headers['content-encoding']).toBe('gzip');
    const again = await app.inject({ url, headers: { ...readerKey, 'if-none-match': String(large.headers.etag) } });
    expect([again.statusCode, again.body]).toEqual([304, '']);
    const small = await app.inject({ url: '/health', headers: { 'accept-encoding': 'gzip' } });
    expect(small.headers['content-encoding']).toBeUndefined();
  });
});

test('log lines hold no key, no body and no query', async () => {
  const lines: string[] = [];
  const logTo = { write: (line: string) => void lines.push(line) };
  const own = await statelessApp({}, { logLevel: 'trace', logTo });
  await own.inject({ ...outlookPost('{"secret":"in the body"}'), url: '/v1/outlooks?units=us&token=in-the-query' });
  await own.inject({ url: '/v1/catalogue/crops', headers: { authorization: 'Bearer wrong-key' } });
  await own.inject({ url: '/v1/catalogue/crops', headers: readerKey });
  await own.close();
  const log = lines.join('');
  expect(log).toContain(`"keyId":"${'r'.repeat(26)}"`);
  for (const secret of ['SSSS', 'wrong-key', 'in the body', 'in-the-query']) expect(log).not.toContain(secret);
});

test('a change is an audit line: who, what, when; a computation for a reader is none', async () => {
  const lines: string[] = [];
  const logTo = { write: (line: string) => void lines.push(line) };
  const stored = await storedApp({ logLevel: 'info', logTo });
  const [farm] = stored.farms;
  lines.length = 0;
  const url = `/v1/farms/${farm.id}/counts`;
  const body = { ...bodies.count, fieldId: farm.ids.field };
  await stored.ask('POST', url, { body, key: farm.keys.planner, headers: { 'x-request-id': 'morning-round' } });
  await stored.ask('POST', '/v1/outlooks', { body: smallField, key: farm.keys.reader });
  await stored.ask('GET', url, { key: farm.keys.reader });
  await stored.close();
  const audits = lines.map((line) => JSON.parse(line)).filter(({ audit }) => audit !== undefined);
  expect(audits).toEqual([
    expect.objectContaining({ audit: 'createCount', path: url, status: 201, farmId: farm.id, reqId: 'morning-round' }),
  ]);
  expect(audits[0].keyId).toMatch(/^[0-9a-z]{26}$/);
  expect(audits[0].time).toBeGreaterThan(Date.now() - 60_000);
});

test('a fault of ours is 500 with the request id; its text is in the log only', async () => {
  const lines: string[] = [];
  const logTo = { write: (line: string) => void lines.push(line) };
  const compute = { outlook: () => Promise.reject(new Error('cannot open soil.bin')) };
  const own = await statelessApp({ compute: compute as never }, { logLevel: 'info', logTo });
  const answer = await own.inject(outlookPost('{}'));
  expect(answer.statusCode).toBe(500);
  expect(answer.body).not.toContain('soil.bin');
  expect(answer.json().instance).toBe(answer.headers['x-request-id']);
  expect(lines.join('')).toContain('soil.bin');
  await own.close();
});

test('a database that is silent is 503 on /ready within three seconds', async () => {
  const store = { ready: () => new Promise<void>(() => {}) } as Store;
  const own = await statelessApp({ store });
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  const asked = own.inject('/ready');
  await vi.waitFor(() => expect(vi.getTimerCount()).toBe(1)).finally(() => vi.advanceTimersByTimeAsync(3_000));
  vi.useRealTimers();
  const answer = await asked;
  expect([answer.statusCode, answer.json().type]).toEqual([503, '/errors#store-unavailable']);
  await own.close();
});

test('a process that is late by a second on end refuses with 503 and Retry-After, and still says that it lives', async () => {
  const own = await statelessApp({}, { mostLateMs: undefined });
  for (let block = 0; block < 3; block++) {
    const until = Date.now() + 1500;
    while (Date.now() < until);
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  const busy = await own.inject({ url: '/v1/catalogue/crops', headers: readerKey });
  expect([busy.statusCode, busy.json().type]).toEqual([503, '/errors#overloaded']);
  expect(Number(busy.headers['retry-after'])).toBeGreaterThan(0);
  expect((await own.inject('/health')).statusCode).toBe(200);
  await own.close();
});
