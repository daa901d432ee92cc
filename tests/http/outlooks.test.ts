import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outlook } from '../../src/core/outlook/outlook.ts';
import type { App } from '../../src/http/contract.ts';
import { shownOutlook } from '../../src/service/answer.ts';
import type { Compute } from '../../src/service/contract.ts';
import { inline } from '../support/inline.ts';
import { catalogue, readerKey, smallField, statelessApp } from './fakes.ts';

let app: App;
beforeAll(async () => {
  app = await statelessApp();
});
afterAll(() => app.close());

const post = (url: string, body: unknown, headers: Record<string, string> = {}) =>
  app.inject({
    method: 'POST',
    url,
    headers: { ...readerKey, 'content-type': 'application/json', ...headers },
    payload: typeof body === 'string' ? body : JSON.stringify(body),
  });

const wrong = { ...smallField, weeds: [{ species: 'no-such-weed' }] };

describe('POST /v1/outlooks', () => {
  test('gives what the library gives', async () => {
    const answer = await post('/v1/outlooks', smallField);
    expect(answer.statusCode).toBe(200);
    expect(answer.headers['content-type']).toBe('application/json; charset=utf-8');
    const expected = shownOutlook(outlook(smallField as Parameters<typeof outlook>[0], catalogue), 'America/Chicago');
    expect(answer.json()).toEqual(JSON.parse(JSON.stringify(expected)));
  });

  test('packed as the caller likes, it is the same', async () => {
    const plain = await post('/v1/outlooks', smallField);
    expect(plain.headers['content-encoding']).toBeUndefined();
    const packed = (packing: string) => post('/v1/outlooks', smallField, { 'accept-encoding': packing });
    const [br, gzip] = [await packed('gzip, br'), await packed('gzip')];
    expect([br.headers['content-encoding'], gzip.headers['content-encoding']]).toEqual(['br', 'gzip']);
    expect(br.headers.vary).toContain('accept-encoding');
    expect(brotliDecompressSync(br.rawPayload).toString()).toBe(plain.body);
    expect(gunzipSync(gzip.rawPayload).toString()).toBe(plain.body);
    expect(br.rawPayload.length).toBeLessThan(plain.rawPayload.length / 3);
    const refused = await post('/v1/outlooks', wrong, { 'accept-encoding': 'br' });
    expect(refused.headers['content-encoding']).toBeUndefined();
    expect(refused.json().problems[0].code).toBe('unknown-species');
  });

  test('CSV on request, and US units', async () => {
    const csv = await post('/v1/outlooks', smallField, { accept: 'text/csv' });
    expect(csv.headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(csv.body.split('\n')[0]).toMatch(/^date,weatherOrigin,temp5MeanC/);
    const us = await post('/v1/outlooks?units=us', smallField);
    expect(us.json().soil.temp5MeanF).toBeDefined();
  });

  test('names every problem of the body', async () => {
    const answer = await post('/v1/outlooks', { ...smallField, soil: { texture: 'mud' }, today: 'tomorrow', extra: 1 });
    expect(answer.statusCode).toBe(400);
    expect(answer.headers['content-type']).toBe('application/problem+json; charset=utf-8');
    expect(answer.json().problems.map(({ where }: { where: string }) => where)).toEqual(
      expect.arrayContaining(['soil.texture', 'today']),
    );
  });

  test('weather that cannot be is told with its date and what to do; columns of it are compared whatever else is wrong', async () => {
    const { weather } = smallField;
    const tempMaxC = weather.tempMaxC.map((value) => value * 1.8 + 32);
    const warm = await post('/v1/outlooks', { ...smallField, weather: { ...weather, tempMaxC } });
    expect([warm.statusCode, warm.json().type]).toEqual([422, '/errors#weather-fahrenheit']);
    expect(warm.json().problems[0]).toMatchObject({ where: 'weather.tempMaxC[38] (2026-04-08)' });
    const short = { ...weather, rainMm: ['T'], tempMinC: [1] };
    const both = await post('/v1/outlooks', { ...smallField, today: 'soon', weather: short });
    expect(
      both
        .json()
        .problems.map(({ where }: { where: string }) => where)
        .sort(),
    ).toEqual(['today', 'weather.rainMm', 'weather.rainMm[0]', 'weather.tempMinC'].sort());
    const batch = await post('/v1/outlook-batches', { fields: [{ ...smallField, weather: { ...weather, tempMaxC } }] });
    expect(batch.json().outlooks[0].problems[0].code).toBe('weather-fahrenheit');
  });

  test('a species that stands twice is 400 at its second place', async () => {
    const weeds = [{ species: 'waterhemp' }, { species: 'waterhemp' }];
    const answer = await post('/v1/outlooks', { ...smallField, weeds });
    expect([answer.statusCode, answer.json().type]).toEqual([400, '/errors#invalid-input']);
    expect(answer.json().problems).toMatchObject([{ where: 'weeds[1].species', given: '"waterhemp"' }]);
  });

  test('an unknown weed is 422, with the list of those that are known', async () => {
    const answer = await post('/v1/outlooks', wrong);
    expect(answer.statusCode).toBe(422);
    expect(answer.json()).toMatchObject({ type: '/errors#unknown-species', problems: [{ given: 'no-such-weed' }] });
  });

  test('refuses what it cannot read or give, before it computes', async () => {
    expect((await post('/v1/outlooks', smallField, { accept: 'image/png' })).statusCode).toBe(406);
    expect((await post('/v1/outlooks', '<field/>', { 'content-type': 'application/xml' })).statusCode).toBe(415);
    expect((await post('/v1/outlooks', '['.repeat(10_000))).statusCode).toBe(413);
    expect((await post('/v1/outlooks', `"${'x'.repeat(1024 * 1024)}"`)).statusCode).toBe(413);
    expect((await post('/v1/outlooks?units=furlongs', smallField)).json().problems[0].where).toBe('query.units');
  });
});

describe('what the server itself refuses says what was sent and what is allowed', () => {
  const problem = async (url: string, body: unknown, headers: Record<string, string> = {}) =>
    (await post(url, body, headers)).json().problems[0];

  test('a type of body, with those that the route takes', async () => {
    expect(await problem('/v1/outlooks', '<field/>', { 'content-type': 'application/xml' })).toMatchObject({
      where: 'header Content-Type',
      given: 'application/xml',
      allowed: 'application/json',
    });
  });

  test('a body that is too large, with the limit of the route in bytes', async () => {
    const body = `"${'x'.repeat(1024 * 1024)}"`;
    expect(await problem('/v1/outlooks', body)).toMatchObject({
      given: `${body.length} bytes`,
      allowed: 'at most 1048576 bytes',
    });
    expect((await problem('/v1/outlook-batches', body.repeat(8))).allowed).toBe('at most 8388608 bytes');
  });

  test('a batch of none or too many, and not that its form is wrong', async () => {
    expect(await problem('/v1/outlook-batches', { fields: [] })).toMatchObject({
      where: 'fields',
      given: 'no fields',
      allowed: '1 to 100 fields',
    });
    expect((await problem('/v1/outlook-batches', { fields: Array(101).fill({}) })).given).toBe('more than 100 fields');
  });

  test('a batch of another form, with every member at fault', async () => {
    const refused = await post('/v1/outlook-batches', { fields: {}, x: 1 });
    expect([refused.statusCode, refused.json().problems]).toEqual([
      400,
      [
        { code: 'invalid-input', where: 'fields', given: '{}', allowed: 'a list' },
        { code: 'invalid-input', where: 'x', given: '1', allowed: 'one of the names fields' },
      ],
    ]);
    expect(await problem('/v1/outlook-batches', [smallField])).toMatchObject({
      where: 'input',
      allowed: 'an object { "fields": [ ... ] }',
    });
  });

  test('a crop that is older than its weather, in one sentence after the other', async () => {
    const planting = { crop: 'soybean', date: '2026-02-01' };
    const { detail } = (await post('/v1/outlooks', { ...smallField, planting })).json();
    expect(detail).toMatch(/from before it\. A crop .* `endedOn`\.$/);
  });
});

describe('POST /v1/outlook-batches', () => {
  test('answers in order, and a wrong field does not sink the others', async () => {
    const answer = await post('/v1/outlook-batches', { fields: [smallField, wrong, { ...smallField, name: 'third' }] });
    expect(answer.statusCode).toBe(200);
    const { outlooks } = answer.json();
    expect(outlooks).toHaveLength(3);
    expect(outlooks[0].outlook.name).toBe('field');
    expect(outlooks[1].problems[0].code).toBe('unknown-species');
    expect(outlooks[2].outlook.name).toBe('third');
  });

  test('NDJSON: a line for each field with its index, ready ones first', async () => {
    const compute: Pick<Compute, 'outlook'> = {
      outlook: async (field, form) => {
        if (String(field).includes('slow')) await new Promise((resolve) => setTimeout(resolve, 80));
        return inline.outlook(field, form);
      },
    };
    const own = await statelessApp({ compute: compute as Compute });
    const answer = await own.inject({
      method: 'POST',
      url: '/v1/outlook-batches',
      headers: { ...readerKey, 'content-type': 'application/json', accept: 'application/x-ndjson' },
      payload: JSON.stringify({ fields: [{ ...smallField, name: 'slow' }, smallField] }),
    });
    const lines = answer.body
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(lines.map(({ index }) => index)).toEqual([1, 0]);
    expect(lines[1].outlook.name).toBe('slow');
    await own.close();
  });

  test('more than 100 fields, or none, or something beside them, is refused', async () => {
    for (const body of [{ fields: Array(101).fill({}) }, { fields: [] }, { fields: [{}], more: 1 }]) {
      const answer = await post('/v1/outlook-batches', body);
      expect(answer.statusCode).toBe(400);
      expect(answer.json().type).toBe('/errors#invalid-input');
    }
  });

  test('who hangs up stops what has not begun', async () => {
    let begun = 0;
    const compute: Pick<Compute, 'outlook'> = {
      outlook: async () => {
        begun++;
        await new Promise((resolve) => setTimeout(resolve, 30));
        return new TextEncoder().encode('{}');
      },
    };
    const own = await statelessApp({ compute: compute as Compute });
    const address = await own.listen({ host: '127.0.0.1', port: 0 });
    const hangUp = new AbortController();
    const answer = await fetch(`${address}/v1/outlook-batches`, {
      method: 'POST',
      headers: { ...readerKey, 'content-type': 'application/json', accept: 'application/x-ndjson' },
      body: JSON.stringify({ fields: Array(100).fill({}) }),
      signal: hangUp.signal,
    });
    await answer.body?.getReader().read();
    hangUp.abort();
    await new Promise((resolve) => setTimeout(resolve, 400));
    const after = begun;
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(begun).toBe(after);
    expect(begun).toBeLessThan(40);
    await own.close();
  });
});
