import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { whitethreadError } from '../../src/core/base/errors.ts';
import type { DailyWeather } from '../../src/core/weather/schema.ts';
import type { App } from '../../src/http/contract.ts';
import { exampleField } from '../../src/http/examples/outlook.ts';
import { bodies } from '../../src/http/examples/records.ts';
import type { LiveSource, Span } from '../../src/sources/live/contract.ts';
import { readerKey, statelessApp } from './fakes.ts';
import { storedApp } from './stored.ts';

const today = dayNumber(exampleField.today);
const fetchedAtMs = Date.parse('2026-05-19T10:00:00Z');

/** Invented weather of some days, the same of a day whoever is asked. */
const days = ({ from, to }: Span, more: Partial<DailyWeather> = {}): DailyWeather => {
  const of = <T>(value: (day: number) => T): T[] => Array.from({ length: to - from + 1 }, (_, i) => value(from + i));
  return {
    startDate: isoDate(from),
    tempMaxC: of((day) => 15 + (day % 7) + 8 * Math.sin((day - 80) / 58)),
    tempMinC: of((day) => 4 + (day % 5) + 8 * Math.sin((day - 80) / 58)),
    rainMm: of((day) => (day % 6 === 0 ? 7 : 0)),
    ...more,
  };
};

const asked: { id: string; site: object; span: Span; station: string | undefined }[] = [];
const source = (id: string, gives: LiveSource['gives'], stale: boolean): LiveSource => {
  const attribution = { source: id, credit: `by ${id}`, licence: 'free', url: `https://${id}.example/terms` };
  return {
    id,
    gives,
    attribution,
    fetchWeather: async (site, span, station) => {
      asked.push({ id, site, span, station });
      if (station === 'DOWN')
        throw whitethreadError([{ code: 'source-unavailable', where: id, given: 'HTTP 500', allowed: 'an answer' }]);
      if (station === 'NOWHERE')
        throw whitethreadError([{ code: 'source-outside', where: id, given: station, allowed: 'a station' }]);
      const to = Math.min(span.to, today - 1);
      const reach = gives === 'forecast' ? { from: today, to: span.to } : { from: span.from, to };
      return {
        weather: days(reach, gives === 'forecast' ? { forecastFrom: isoDate(today) } : {}),
        attribution,
        fetchedAtMs,
        stale,
      };
    },
  };
};

let app: App;
beforeAll(async () => {
  app = await statelessApp({
    sources: { power: source('power', 'observed', false), global: source('global', 'forecast', true) },
  });
});
afterAll(() => app.close());

const { weather: _, ...bare } = exampleField;
const ask = (body: unknown, headers: Readonly<Record<string, string>> = {}, url = '/v1/outlooks') =>
  app.inject({
    method: 'POST',
    url,
    headers: { ...readerKey, 'content-type': 'application/json', ...headers },
    payload: JSON.stringify(body),
  });

const both = { ...bare, weatherFrom: { observed: 'power', forecast: 'global' } };

test('a field that names its sources gets the outlook of the same field sent with their weather', async () => {
  asked.length = 0;
  const answer = await ask(both);
  expect(answer.statusCode).toBe(200);
  const { credits, remarks, ...told } = answer.json();
  const from = dayNumber('2025-08-01');
  const weather = days({ from, to: today + 15 }, { forecastFrom: exampleField.today });
  expect(told).toEqual((await ask({ ...bare, weather })).json());
  expect(credits.map(({ source, stale }: { source: string; stale: boolean }) => [source, stale])).toEqual([
    ['power', false],
    ['global', true],
  ]);
  expect(remarks).toEqual([]);
  expect(asked.map(({ id, span }) => [id, span.from, span.to])).toEqual([
    ['power', from, today + 15],
    ['global', today - 7, today + 15],
  ]);
  expect(answer.headers.link).toContain('https://power.example/terms');
  expect(answer.headers.warning).toContain('stale weather: global');
});

test('a text ends with whose weather it is; a field that is sent with its own has no credits', async () => {
  expect((await ask(both, { accept: 'text/plain' })).body).toContain(
    'Weather: by global (free), the last that could be had',
  );
  expect(Object.keys((await ask(exampleField)).json())).not.toContain('credits');
});

test('a source that is not asked here, or has nothing, is said; without any there is no outlook', async () => {
  // A forecast alone begins today, and what was planted before has no weather.
  const { planting: __, ...unplanted } = bare;
  const { remarks } = (await ask({ ...unplanted, weatherFrom: { observed: 'ncei', forecast: 'global' } })).json();
  expect(remarks).toEqual(['No observed weather of Gate Field (ncei): all days are forecast']);
  const outside = { observed: 'power', forecast: 'global', sourceStation: 'NOWHERE' };
  expect((await ask({ ...unplanted, weatherFrom: outside })).json().remarks[0]).toContain('No observations from power');
  const none = await ask({ ...unplanted, weatherFrom: { observed: 'ncei', forecast: 'us-grid' } });
  expect(none.statusCode).toBe(422);
  const problem = { code: 'weather-empty', where: 'weatherFrom', given: 'ncei, us-grid', allowed: 'power, global' };
  expect(none.json().problems[0]).toMatchObject(problem);
});

test('a day of the past needs no forecast; today does, and is told so', async () => {
  const past = { ...bare, today: '2026-05-12', weatherFrom: { observed: 'power' } };
  const answer = await ask(past);
  expect(answer.statusCode).toBe(200);
  expect(answer.json().windowDays.at(-1).date).toBe('2026-05-13');
  const now = await ask({ ...bare, weatherFrom: { observed: 'power' } });
  expect(now.json().problems[0]).toMatchObject({ given: 'weather until 2026-05-18', advice: 'Name a forecast too' });
});

test('a source that fails is named to the caller, who can do something about it', async () => {
  const station = { observed: 'power', sourceStation: 'DOWN' };
  const answer = await ask({ ...bare, weatherFrom: station });
  expect(answer.statusCode).toBe(503);
  expect(answer.json().problems[0]).toMatchObject({ code: 'source-unavailable', where: 'power' });
});

test('only a member of that name counts, and a field that has it is short', async () => {
  expect((await ask({ ...exampleField, name: 'weatherFrom' })).statusCode).toBe(200);
  const long = await ask({ ...both, name: 'x'.repeat(70_000) });
  expect([long.statusCode, long.json().problems[0].allowed]).toEqual([413, '65536 with weatherFrom']);
});

test('of a batch at most ten may name sources', async () => {
  asked.length = 0;
  const answer = await ask({ fields: new Array(11).fill(both) }, {}, '/v1/outlook-batches');
  expect(answer.statusCode).toBe(400);
  expect(answer.json().problems[0]).toMatchObject({ where: 'fields', given: '11 with weatherFrom' });
  expect(asked).toEqual([]);
});

test('fields that are sent have sources of their own where the server has some', async () => {
  const own = await statelessApp({ sources: {}, sentSources: { global: source('global', 'forecast', false) } });
  const { planting: __, ...unplanted } = bare;
  const answer = await own.inject({
    method: 'POST',
    url: '/v1/outlooks',
    headers: { ...readerKey, 'content-type': 'application/json' },
    payload: JSON.stringify({ ...unplanted, weatherFrom: { forecast: 'global' } }),
  });
  expect(answer.json().remarks).toEqual([
    'No observed weather of Gate Field (nobody was named): all days are forecast',
  ]);
  await own.close();
});

test.each([
  ['no source', {}, { where: 'weatherFrom', allowed: 'observed, forecast or both' }],
  ['an address', { observed: 'https://inside.example' }, { where: 'weatherFrom.observed' }],
  [
    'an address more',
    { observed: 'power', url: 'http://127.0.0.1:1' },
    { where: 'weatherFrom.url', allowed: 'one of the names observed, forecast, sourceStation' },
  ],
  ['a station that is a path', { observed: 'power', sourceStation: '../../x' }, { where: 'weatherFrom.sourceStation' }],
])('%s is refused, and no source is asked', async (_name, weatherFrom, problem) => {
  asked.length = 0;
  const answer = await ask({ ...bare, weatherFrom });
  expect(answer.statusCode).toBe(400);
  expect(answer.json().problems).toEqual([expect.objectContaining(problem)]);
  expect(asked).toEqual([]);
});

test('weather and sources together are refused: it would not be clear which counts', async () => {
  const answer = await ask({ ...both, weather: exampleField.weather });
  expect(answer.statusCode).toBe(400);
  expect(answer.json().problems[0].allowed).toContain('weather');
});

test('in a batch, beside fields with their own weather and fields that fail', async () => {
  const fields = [both, exampleField, { ...bare, weatherFrom: {} }];
  const { outlooks } = (await ask({ fields }, {}, '/v1/outlook-batches')).json();
  expect(outlooks[0].outlook.credits).toHaveLength(2);
  expect(outlooks[1].outlook.credits).toBeUndefined();
  expect(outlooks[2].problems[0].where).toBe('weatherFrom');
  const lines = (await ask({ fields }, { accept: 'application/x-ndjson' }, '/v1/outlook-batches')).body
    .trim()
    .split('\n');
  expect(lines.map((line) => JSON.parse(line).index).sort()).toEqual([0, 1, 2]);
});

test('is packed like any other', async () => {
  const answer = await ask(both, { 'accept-encoding': 'br' });
  expect(answer.headers['content-encoding']).toBe('br');
});

describe('who waits for a weather service longer than a minute gets 503', () => {
  const silent: LiveSource = { ...source('global', 'both', false), fetchWeather: () => new Promise(() => undefined) };
  const late = { code: 'timed-out', given: 'more than 60 s', allowed: 'an answer within 60 s' };
  /** The answers to requests that all wait, a minute on. */
  const minuteOn = async <T>(asked: () => Promise<T>[]): Promise<T[]> => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    try {
      const requests = asked();
      const answers = Promise.all(requests);
      await vi.waitFor(() => expect(vi.getTimerCount()).toBe(requests.length));
      await vi.advanceTimersByTimeAsync(60_000);
      return await answers;
    } finally {
      vi.useRealTimers();
    }
  };

  test('with a field that is sent, alone and in a batch', async () => {
    const waiting = await statelessApp({ sources: { global: silent } });
    const field = { ...bare, weatherFrom: { forecast: 'global' } };
    const post = (url: string, payload: object) => waiting.inject({ method: 'POST', url, headers: readerKey, payload });
    const [alone, batch] = await minuteOn(() => [
      post('/v1/outlooks', field),
      post('/v1/outlook-batches', { fields: [field] }),
    ]);
    expect([alone?.statusCode, alone?.json().problems]).toEqual([503, [expect.objectContaining(late)]]);
    expect(batch?.json().outlooks[0].problems).toEqual([expect.objectContaining(late)]);
    await waiting.close();
  });

  test('with a field that is stored, and its farm', async () => {
    const nowMs = () => Date.parse(`${exampleField.today}T17:00:00Z`);
    const stored = await storedApp({}, { sources: { global: silent }, nowMs });
    const [{ id }] = stored.farms;
    const post = async (path: string, body: object) =>
      (await stored.ask('POST', `/v1/farms/${id}/${path}`, { body })).json().id as string;
    const stationId = await post('stations', { ...bodies.station, forecast: 'global' });
    const fieldId = await post('fields', { ...bodies.field, stationId });
    for (const path of [`fields/${fieldId}/outlook`, 'tomorrow']) {
      const [answer] = await minuteOn(() => [stored.ask('GET', `/v1/farms/${id}/${path}`)]);
      expect([path, answer?.statusCode, answer?.json().problems]).toEqual([path, 503, [expect.objectContaining(late)]]);
    }
    await stored.close();
  });
});
