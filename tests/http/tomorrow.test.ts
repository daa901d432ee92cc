import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Problem } from '../../src/core/base/errors.ts';
import { exampleField } from '../../src/http/examples/outlook.ts';
import { type Stored, type StoredFarm, storedApp } from './stored.ts';

let stored: Stored;
let farm: StoredFarm;
const NOW = Date.parse('2026-05-19T12:00:00Z');
beforeAll(async () => {
  stored = await storedApp({}, { nowMs: () => NOW });
  farm = stored.farms[0];
});
afterAll(() => stored.close());

const json = { 'content-type': 'application/json' };
const at = (path: string) => `/v1/farms/${farm.id}/${path}`;

describe('weather', () => {
  const url = () => at(`stations/${farm.ids.station}/weather`);

  test('as columns in, as columns or CSV out, and the CSV goes in again', async () => {
    const put = await stored.ask('PUT', url(), { key: farm.keys.planner, body: exampleField.weather });
    expect(put.statusCode).toBe(200);
    expect(put.json().findings).toEqual([]);
    const columns = await stored.ask('GET', url());
    expect(columns.json()).toEqual(exampleField.weather);
    expect(columns.headers.etag).toBe(put.headers.etag);
    const csv = await stored.ask('GET', url(), { headers: { accept: 'text/csv' } });
    expect(csv.body.split('\n').slice(0, 2)).toEqual(['date,tmax_c,tmin_c,rain_mm', '2026-05-01,17,6,0']);
    expect(csv.body.slice(-2)).toMatch(/[^\n]\n/);
    const again = await stored.ask('PUT', url(), { body: csv.body, headers: { 'content-type': 'text/csv' } });
    expect(again.statusCode).toBe(200);
    expect((await stored.ask('GET', url())).json().tempMaxC).toEqual(exampleField.weather.tempMaxC);
  });

  test('JSON is kept as it came, without a byte order mark', async () => {
    const sent = JSON.stringify(exampleField.weather, null, 1);
    const headers = { 'content-type': 'application/json' };
    expect((await stored.ask('PUT', url(), { body: `\uFEFF${sent}`, headers })).statusCode).toBe(200);
    expect((await stored.ask('GET', url())).body).toBe(sent);
    const added = await stored.ask('PATCH', url(), { body: sent, headers });
    expect(added.statusCode).toBe(200);
    expect((await stored.ask('GET', url())).json()).toEqual(exampleField.weather);
  });

  test('of changes at once that name several versions none fails while one that is named stands', async () => {
    const kept = await stored.ask('PUT', url(), { body: exampleField.weather });
    const before = Number(JSON.parse(String(kept.headers.etag)));
    const named = Array.from({ length: 8 }, (_, i) => `"${before + i}"`).join(', ');
    const patch = (i: number) =>
      stored.ask('PATCH', url(), {
        body: { startDate: '2026-05-03', tempMaxC: [20 + i], tempMinC: [10], rainMm: [0] },
        headers: { 'if-match': named },
      });
    const answers = await Promise.all([1, 2, 3, 4].map(patch));
    expect(answers.map(({ statusCode }) => statusCode)).toEqual([200, 200, 200, 200]);
  });

  test('PATCH puts days over days, with If-Match only over that version', async () => {
    const before = await stored.ask('PUT', url(), { body: exampleField.weather });
    const day = { startDate: '2026-05-03', tempMaxC: [25], tempMinC: [12], rainMm: [3] };
    const headers = { 'if-match': String(before.headers.etag) };
    expect((await stored.ask('PATCH', url(), { body: day, headers })).statusCode).toBe(200);
    expect((await stored.ask('PATCH', url(), { body: day, headers })).statusCode).toBe(412);
    const { tempMaxC } = (await stored.ask('GET', url())).json();
    expect(tempMaxC.slice(0, 4)).toEqual([17, 21, 25, 19]);
  });

  test('what the reader of CSV met is told to PUT and PATCH alike', async () => {
    const body =
      'date,tmax_c,tmin_c,rain_mm,remark\n2026-05-03,20,10,T,calm\n2026-05-04,21,M,0,calm\n2026-05-04,21,M,0,calm';
    const headers = { 'content-type': 'text/csv' };
    for (const method of ['PUT', 'PATCH'] as const) {
      const answer = await stored.ask(method, url(), { body, headers });
      expect(answer.statusCode).toBe(200);
      const { findings } = answer.json();
      const words = [
        'stood in the file 2 times',
        'mark for "missing"',
        '1 trace(s) of rain',
        'Column remark was left out',
      ];
      for (const [i, word] of words.entries()) expect(findings[i]).toContain(word);
    }
    await stored.ask('PUT', url(), { body: exampleField.weather });
  });

  test.each([
    ['a low above its high', { startDate: '2026-05-01', tempMaxC: [5], tempMinC: [9], rainMm: [0] }, 422],
    ['columns of different length', { startDate: '2026-05-01', tempMaxC: [5, 6], tempMinC: [1], rainMm: [0] }, 400],
    ['degrees that are none', { startDate: '2026-05-01', tempMaxC: [999], tempMinC: [1], rainMm: [0] }, 422],
    ['a number that is none', '{"startDate":"2026-05-01","tempMaxC":[1e999],"tempMinC":[1],"rainMm":[0]}', 400],
    ['CSV without units', 'date,tmax,tmin,rain\n2026-05-01,50,40,1\n', 422],
    ['XML', '<weather/>', 415],
  ])('%s is refused, and what was kept stays', async (_, body, status) => {
    const types: Readonly<Record<string, string>> = { '<': 'application/xml', '{': 'application/json' };
    const kept = (await stored.ask('GET', url())).body;
    const type = typeof body !== 'string' ? 'application/json' : (types[body[0] as string] ?? 'text/csv');
    const answer = await stored.ask('PUT', url(), { body, headers: { 'content-type': type } });
    expect(answer.statusCode).toBe(status);
    expect((await stored.ask('GET', url())).body).toBe(kept);
  });

  const told = async (method: 'PUT' | 'PATCH', body: unknown) => {
    const answer = await stored.ask(method, url(), { body });
    return answer.json().problems.map(({ code, where }: Problem) => `${code} ${where}`);
  };

  test('Fahrenheit in JSON is named as in CSV, with what to do, by the row that was sent', async () => {
    await stored.ask('PUT', url(), { body: exampleField.weather });
    const warm = { startDate: '2026-05-03', tempMaxC: [21, 86], tempMinC: [10, 66], rainMm: [0, -1] };
    const problems = [
      'weather-range weather.rainMm[1] (2026-05-04)',
      'weather-fahrenheit weather.tempMaxC[1] (2026-05-04)',
      'weather-fahrenheit weather.tempMinC[1] (2026-05-04)',
    ];
    for (const method of ['PUT', 'PATCH'] as const) expect((await told(method, warm)).sort()).toEqual(problems.sort());
    const { advice } = (await stored.ask('PUT', url(), { body: warm })).json().problems[0];
    expect(advice).toContain('tmax_f');
  });

  test.each([
    ['CSV in Latin-1', 'text/csv', Buffer.from('date,tmax (\xb0C),tmin_c,rain_mm\n2026-05-01,20,10,0', 'latin1')],
    ['CSV in UTF-16', 'text/csv', Buffer.from('\uFEFFdate,tmax_c,tmin_c,rain_mm\n2026-05-01,20,10,0', 'utf16le')],
    ['JSON in Latin-1', 'application/json', Buffer.from('{"startDate":"\xf6"}', 'latin1')],
    ['no CSV at all', 'text/csv', Buffer.from('')],
    ['CSV of blanks', 'text/csv', Buffer.from(' \r\n')],
  ])('%s is refused as a file of it is, and what was kept stays', async (name, type, payload) => {
    const kept = (await stored.ask('GET', url())).body;
    const answer = await stored.app.inject({
      method: 'PUT',
      url: url(),
      headers: { authorization: `Bearer ${stored.operator}`, 'content-type': type },
      payload,
    });
    const code = type !== 'text/csv' ? 'invalid-input' : name.includes(' in ') ? 'weather-encoding' : 'weather-empty';
    expect(answer.json().problems).toMatchObject([{ code }]);
    expect(answer.statusCode).toBe(type === 'text/csv' ? 422 : 400);
    expect((await stored.ask('GET', url())).body).toBe(kept);
  });

  test.each([
    ['no units', 'date,tmax,tmin,rain\n2026-05-01,20,10,0'],
    ['dates of two orders', 'date,tmax_c,tmin_c,rain_mm\n03/04/2026,20,10,0'],
    ['two stations', 'station,date,tmax_c,tmin_c,rain_mm\nA,2026-05-01,20,10,0\nB,2026-05-01,20,10,0'],
  ])('advice about CSV with %s names no option of a command line', async (_, body) => {
    const answer = await stored.ask('PUT', url(), { body, headers: { 'content-type': 'text/csv' } });
    expect(answer.json().problems[0].advice).not.toContain('--');
  });

  test('CSV that can be read tells values that cannot be, by their lines, and a gap at once; else the gap comes next', async () => {
    const rows = ['date,tmax_f,tmin_f,rain_in', '2026-04-01,70,50,-1', '2026-04-13,50,70,0', '2026-04-14,300,50,0'];
    const csv = { 'content-type': 'text/csv' };
    const toldOf = async (body: string) => {
      const answer = await stored.ask('PUT', url(), { body, headers: csv });
      return answer.json().problems.map(({ code, where, given }: Problem) => `${code} ${where} ${given}`);
    };
    const values = [
      'weather-range line 2, column rain_in -1 in',
      'weather-crossed line 3, column tmin_f lowest 70 F above highest 50 F',
      'weather-range line 4, column tmax_f 300 F',
    ];
    const gap = (column: string) => `weather-gap weather.${column} 11 missing days from 2026-04-02 to 2026-04-12`;
    expect(await toldOf(rows.join('\n'))).toEqual([gap('tempMaxC'), gap('tempMinC'), gap('rainMm'), ...values]);
    expect(await toldOf([...rows, '2026-04-15,x,50,0'].join('\n'))).toEqual([
      'weather-format line 5, column tmax_f x',
      ...values,
    ]);
    await stored.ask('PUT', url(), { body: exampleField.weather });
    const day = 'date,tmax_f,tmin_f,rain_in\n2026-05-03,70,50,-1';
    const added = await stored.ask('PATCH', url(), { body: day, headers: csv });
    expect(added.json().problems).toMatchObject([{ where: 'line 2, column rain_in', given: '-1 in' }]);
  });

  test('a short column is told beside a value that is no number', async () => {
    const body = { startDate: '2026-05-01', tempMaxC: [20, 21], tempMinC: [10], rainMm: [0, 'T'], windMPerS: 'calm' };
    expect((await told('PUT', body)).sort()).toEqual(
      ['invalid-input rainMm[1]', 'invalid-input tempMinC', 'invalid-input windMPerS'].sort(),
    );
    for (const wrong of [null, [], 'text', { startDate: '2026-05-01', tempMaxC: 7, tempMinC: [1], rainMm: [] }])
      expect((await stored.ask('PUT', url(), { body: JSON.stringify(wrong), headers: json })).statusCode).toBe(400);
  });
});

describe('tomorrow', () => {
  test('as JSON, CSV and text, in the farm’s units unless others are asked for', async () => {
    await stored.ask('PUT', at(`stations/${farm.ids.station}/weather`), { body: exampleField.weather });
    const json = await stored.ask('GET', at('tomorrow?days=1'), { key: farm.keys.reader });
    expect(json.statusCode).toBe(200);
    const answer = json.json();
    expect(answer.today).toBe('2026-05-19');
    expect(answer.credits).toEqual([]);
    expect(answer.failed).toEqual([]);
    expect(answer.fields[0].name).toBe('Gate Field');
    expect(answer.weather[0].tempMaxF).toBeDefined();
    const metric = (await stored.ask('GET', at('tomorrow?days=1&units=metric'))).json();
    expect(metric.weather[0].tempMaxC).toBeDefined();
    const csv = await stored.ask('GET', at('tomorrow?days=1&units=metric'), { headers: { accept: 'text/csv' } });
    expect(csv.headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(csv.body.split('\n')[0]).toMatch(/^field,date,implement,open/);
    const text = await stored.ask('GET', at('tomorrow?days=1'), { headers: { accept: 'text/plain' } });
    // A shell that reads a line at a time loses one without an end.
    for (const { body } of [csv, text]) expect(body.slice(-2)).toMatch(/[^\r\n]\n/);
    expect(text.body).toContain('Gate Field');
  });

  test('any other day with on=, and what cannot be a day is refused', async () => {
    expect((await stored.ask('GET', at('tomorrow?on=2026-05-18&days=0'))).json().today).toBe('2026-05-18');
    expect((await stored.ask('GET', at('tomorrow?on=18.5.2026'))).json().problems[0].where).toBe('query.on');
    expect((await stored.ask('GET', at('tomorrow?days=15'))).statusCode).toBe(400);
  });
});

test.each(['', '%20', '0x3', '1e1', '%205', '+5', '5.0', '-0', '15', '٣'])(
  'a whole number of a query is decimal digits: days=%s is none',
  async (days) => {
    const answer = await stored.ask('GET', at(`tomorrow?on=2026-05-12&days=${encodeURI(decodeURI(days))}`));
    const given = JSON.stringify(decodeURI(days.replace('+', ' ')));
    expect([answer.statusCode, answer.json().problems]).toEqual([
      400,
      [{ code: 'invalid-input', where: 'query.days', given, allowed: 'a whole number from 0 to 14, in digits' }],
    ]);
  },
);

test.each(['fields?limit=', 'fields?limit=1e1', 'history?cursor=0x0', 'history?limit=%205', 'fields?limit=1&limit=2'])(
  '%s is refused too',
  async (path) => {
    expect((await stored.ask('GET', at(path))).json().problems[0].allowed).toMatch(
      /^a whole number from \d+ to \d+, in/,
    );
  },
);

test('digits are taken', async () => {
  const days = async (text: string) => (await stored.ask('GET', at(`tomorrow?on=2026-05-12&days=${text}`))).statusCode;
  expect([await days('0'), await days('14'), await days('05')]).toEqual([200, 200, 200]);
});

test('the outlook of a stored field is that of the field sent whole', async () => {
  const url = at(`fields/${farm.ids.field}/outlook?days=1&units=metric`);
  const answer = (await stored.ask('GET', url)).json();
  expect(answer.name).toBe('Gate Field');
  expect(answer.credits).toEqual([]);
  expect(answer.soil.startDate).toBe('2026-05-01');
  const csv = await stored.ask('GET', url, { headers: { accept: 'text/csv' } });
  expect(csv.body.split('\n')[0]).toMatch(/^date,weatherOrigin/);
  expect(csv.body).not.toContain('\r');
  expect(csv.body.slice(-2)).toMatch(/[^\n]\n/);
});

test('the record of passes is CSV unless JSON is asked for, between the dates', async () => {
  const csv = await stored.ask('GET', at('pass-record?units=metric'));
  expect(csv.headers['content-type']).toBe('text/csv; charset=utf-8');
  expect(csv.body).toMatch(/^date,field,areaHa,operation,implement,operator/);
  expect(csv.body).toContain('2026-05-19,Gate Field');
  expect(csv.body.slice(-2)).toMatch(/[^\n]\n/);
  const json = await stored.ask('GET', at('pass-record'), { headers: { accept: 'application/json' } });
  expect(json.json().items).toHaveLength(1);
  const none = await stored.ask('GET', at('pass-record?from=2027-01-01'), { headers: { accept: 'application/json' } });
  expect(none.json().items).toEqual([]);
  expect((await stored.ask('GET', at('pass-record?from=2027-01-01&to=2026-01-01'))).statusCode).toBe(400);
});

test('the record of passes comes in acres, inches and Fahrenheit, asked for or usual on the farm', async () => {
  const rows = async (query: string) => {
    const { body } = await stored.ask('GET', at(`pass-record${query}`));
    return { head: body.split('\n')[0], row: parse(body, { columns: true })[0] as Record<string, string> };
  };
  const metric = await rows('?units=metric');
  const us = await rows('?units=us');
  expect(us.head).toBe(
    metric.head
      ?.replace('areaHa', 'areaAc')
      .replace('depthCm', 'depthIn')
      .replace('tempMaxC,tempMinC,rainMm', 'tempMaxF,tempMinF,rainIn'),
  );
  expect(Number(us.row.tempMaxF)).toBeCloseTo(Number(metric.row.tempMaxC) * 1.8 + 32, 3);
  expect(us.row.weedsExpected).toBe(metric.row.weedsExpected);
  expect(metric.row.weedsCounted).toBe('2026-05-18 waterhemp 40/m2 cotyledon');
  expect(us.row.weedsCounted).toBe('2026-05-18 waterhemp 3.716/ft2 cotyledon');
  const json = await stored.ask('GET', at('pass-record?units=us'), { headers: { accept: 'application/json' } });
  expect(json.json().items[0].tempMinF).toBeCloseTo(Number(us.row.tempMinF), 3);
  expect(json.json().items[0].weedsCounted).toBe(us.row.weedsCounted);
  // Without a word, in those of the farm: this one thinks in US units.
  const kept = await stored.ask('GET', `/v1/farms/${farm.id}`);
  expect(kept.json().data.units).toBe('us');
  expect((await rows('')).head).toBe(us.head);
  const headers = { 'if-match': String(kept.headers.etag) };
  const other = { ...kept.json().data, units: 'metric' };
  const changed = await stored.ask('PUT', `/v1/farms/${farm.id}`, { body: other, headers });
  expect((await rows('')).head).toBe(metric.head);
  const back = { body: kept.json().data, headers: { 'if-match': String(changed.headers.etag) } };
  expect((await stored.ask('PUT', `/v1/farms/${farm.id}`, back)).statusCode).toBe(200);
});

test('a weather service that cannot be had is named; the farm’s other fields go on', async () => {
  const station = { name: 'Far', latitudeDeg: 41.7, longitudeDeg: -93, observed: 'power' };
  const { id } = (await stored.ask('POST', at('stations'), { body: station })).json();
  const field = (await stored.ask('GET', at(`fields/${farm.ids.field}`))).json().data;
  await stored.ask('POST', at('fields'), { body: { ...field, name: 'Second', stationId: id } });
  const answer = (await stored.ask('GET', at('tomorrow?days=0'))).json();
  expect(answer.fields.map(({ name }: { name: string }) => name)).toEqual(['Gate Field']);
  expect(answer.failed[0]).toMatchObject({ name: 'Second', problems: [{ code: 'weather-empty' }] });
  // Text and CSV lose it as little as JSON.
  const text = await stored.ask('GET', at('tomorrow?days=0'), { headers: { accept: 'text/plain' } });
  expect(text.body).toMatch(
    /No answer\n {2}Second: weather of Far: given power, which this server does not ask; allowed daily weather/,
  );
  const csv = await stored.ask('GET', at('tomorrow?days=0'), { headers: { accept: 'text/csv' } });
  const rows = parse(csv.body, { columns: true }) as Record<string, string>[];
  expect(rows.at(-1)).toMatchObject({ field: 'Second', date: '', open: 'false', closed: 'weather-empty' });
  expect(rows.at(-1)?.why).toMatch(/^weather of Far: given power, which this server does not ask/);
});

test('a farm with no field has the header of its CSV, in either units', async () => {
  const empty = (
    await stored.ask('POST', '/v1/farms', { key: stored.operator, body: { name: 'New', timeZone: 'UTC' } })
  ).json();
  const csv = async (units: string): Promise<string> =>
    (
      await stored.ask('GET', `/v1/farms/${empty.id}/tomorrow?units=${units}`, {
        key: stored.operator,
        headers: { accept: 'text/csv' },
      })
    ).body;
  expect((await csv('metric')).trim().split('\n')).toEqual([
    expect.stringMatching(/^field,date,.*,tempMaxC,tempMinC,rainMm,/),
  ]);
  expect((await csv('us')).trim().split('\n')).toEqual([
    expect.stringMatching(/^field,date,.*,tempMaxF,tempMinF,rainIn,/),
  ]);
});
