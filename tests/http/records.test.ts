import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exampleField } from '../../src/http/examples/outlook.ts';
import { bodies } from '../../src/http/examples/records.ts';
import { freshKey } from '../../src/service/keys.ts';
import { recordKinds } from '../../src/service/records/schema.ts';
import { catalogue } from './fakes.ts';
import { type Stored, type StoredFarm, storedApp, withIds } from './stored.ts';

let stored: Stored;
let farm: StoredFarm;
beforeAll(async () => {
  stored = await storedApp();
  farm = stored.farms[0];
});
afterAll(() => stored.close());

const at = (path: string) => `/v1/farms/${farm.id}/${path}`;
const own = (kind: keyof typeof recordKinds) => withIds(bodies[kind], farm.ids);

describe.each(Object.keys(recordKinds) as (keyof typeof recordKinds)[])('%s', (kind) => {
  const { path, writer } = recordKinds[kind];

  test('is made, read, changed and removed; each answer carries its version', async () => {
    const key = farm.keys[writer];
    const created = await stored.ask('POST', at(path), { key, body: own(kind) });
    expect(created.statusCode).toBe(201);
    const { id, version, data } = created.json();
    expect(version).toBe(1);
    expect(data).toEqual(recordKinds[kind].schema.parse(own(kind)));
    expect(created.headers.location).toBe(at(`${path}/${id}`));
    expect(created.headers.etag).toBe('"1"');

    const read = await stored.ask('GET', String(created.headers.location), { key: farm.keys.reader });
    expect(read.body).toBe(created.body);
    expect(read.headers.etag).toBe('"1"');
    const same = await stored.ask('GET', at(`${path}/${id}`), { headers: { 'if-none-match': 'W/"7", "1"' } });
    expect([same.statusCode, same.body, same.headers.etag]).toEqual([304, '', '"1"']);

    const blind = await stored.ask('PUT', at(`${path}/${id}`), { key, body: own(kind) });
    expect([blind.statusCode, blind.json().type]).toEqual([428, '/errors#version-needed']);
    const changed = await stored.ask('PUT', at(`${path}/${id}`), {
      key,
      body: own(kind),
      headers: { 'if-match': '"1"' },
    });
    expect([changed.statusCode, changed.headers.etag, changed.json().version]).toEqual([200, '"2"', 2]);
    const late = await stored.ask('PUT', at(`${path}/${id}`), { key, body: own(kind), headers: { 'if-match': '"1"' } });
    expect([late.statusCode, late.json().type]).toEqual([412, '/errors#version-conflict']);
    const odd = await stored.ask('PUT', at(`${path}/${id}`), {
      key,
      body: own(kind),
      headers: { 'if-match': 'W/"2"' },
    });
    expect([odd.statusCode, odd.json().type]).toEqual([412, '/errors#version-conflict']);

    expect((await stored.ask('DELETE', at(`${path}/${id}`), { key })).statusCode).toBe(428);
    const removed = await stored.ask('DELETE', at(`${path}/${id}`), { key, headers: { 'if-match': '"2"' } });
    expect([removed.statusCode, removed.body]).toEqual([204, '']);
    expect((await stored.ask('GET', at(`${path}/${id}`))).statusCode).toBe(404);
    const { items } = (await stored.ask('GET', at(`history?kind=${kind}&id=${id}`))).json();
    expect(items.map(({ action }: { action: string }) => action)).toEqual(['create', 'change', 'remove']);
    expect(items[2].data).toBeNull();
  });
});

test('lists go on where the cursor says, at most 200 a page', async () => {
  const pages: string[] = [];
  for (let i = 0; i < 5; i++) await stored.ask('POST', at('counts'), { body: { ...own('count'), perM2: i } });
  for (let next: string | null = ''; next !== null; ) {
    const answer = await stored.ask('GET', at(`counts?limit=2${next === '' ? '' : `&cursor=${next}`}`));
    pages.push(...answer.json().items.map(({ id }: { id: string }) => id));
    next = answer.json().next;
  }
  expect(new Set(pages).size).toBe(6);
  expect(pages).toEqual([...pages].sort());
  expect((await stored.ask('GET', at('counts?limit=201'))).statusCode).toBe(400);
  const elsewhere = await stored.ask('GET', at(`counts?fieldId=${'0'.repeat(26)}`));
  expect(elsewhere.json()).toEqual({ items: [], next: null });
});

test('only what belongs to a field is listed by field: elsewhere the question is refused', async () => {
  for (const kind of Object.keys(recordKinds) as (keyof typeof recordKinds)[]) {
    const answer = await stored.ask('GET', at(`${recordKinds[kind].path}?fieldId=${farm.ids.field}`));
    const isOfField = 'fieldId' in bodies[kind];
    expect([kind, answer.statusCode]).toEqual([kind, isOfField ? 200 : 400]);
    if (!isOfField) expect(answer.json().problems[0].where).toBe('query.fieldId');
  }
});

describe('what is not there', () => {
  const problem = async (url: string, key?: string) => {
    const answer = await stored.ask('GET', url, key === undefined ? {} : { key });
    expect(answer.statusCode).toBe(404);
    return answer.json().problems[0];
  };

  test('is a farm of the server to an operator', async () => {
    expect(await problem(`/v1/farms/${'0'.repeat(26)}`)).toMatchObject({
      where: 'farm',
      allowed: 'a farm of this server',
    });
  });

  test('is the weather of a station before it is posted, and how to post it is told; or the station', async () => {
    const made = await stored.ask('POST', at('stations'), { body: own('station') });
    const asked = await stored.ask('POST', at('stations'), { body: { ...own('station'), observed: 'power' } });
    const weatherOf = (id: string) => problem(at(`stations/${id}/weather`));
    expect(await weatherOf(made.json().id)).toMatchObject({
      where: 'weather of Yard',
      given: expect.stringContaining('no weather has been posted'),
      advice: expect.stringMatching(/^Put a series/),
    });
    expect((await weatherOf(asked.json().id)).advice).toContain('asked of power');
    expect((await weatherOf('0'.repeat(26))).where).toBe('station');
    await stored.ask('PUT', at(`stations/${made.json().id}/weather`), { body: exampleField.weather });
    const gone = await stored.ask('DELETE', at(`stations/${made.json().id}`), { headers: { 'if-match': '"1"' } });
    expect(gone.statusCode).toBe(204);
    for (const accept of ['application/json', 'text/csv']) {
      const read = await stored.ask('GET', at(`stations/${made.json().id}/weather`), { headers: { accept } });
      expect([read.statusCode, read.json().problems[0].where]).toEqual([404, 'station']);
    }
  });
});

describe('a station of a source with stations of its own', () => {
  const ncei = { name: 'Ames', latitudeDeg: 42, longitudeDeg: -93.6, observed: 'ncei', forecast: 'global' };

  test.each([
    ['without its name', {}, 'nothing'],
    ['with a name of another form', { sourceStation: 'foo' }, '"foo"'],
  ])('is refused %s, new and as a change', async (_, named, given) => {
    const made = await stored.ask('POST', at('stations'), { body: own('station') });
    const headers = { 'if-match': '"1"' };
    const body = { ...ncei, ...named };
    for (const answer of [
      await stored.ask('POST', at('stations'), { body }),
      await stored.ask('PUT', at(`stations/${made.json().id}`), { body, headers }),
    ])
      expect([answer.statusCode, answer.json().problems]).toEqual([
        400,
        [
          {
            code: 'invalid-input',
            where: 'sourceStation',
            given,
            allowed: expect.stringMatching(/11 capital letters/),
          },
        ],
      ]);
  });

  test('is kept with it, and another source needs none', async () => {
    const good = { ...ncei, sourceStation: 'USC00130200' };
    for (const body of [good, { ...ncei, observed: 'power' }, { ...good, observed: 'archive', sourceStation: 'foo' }])
      expect((await stored.ask('POST', at('stations'), { body })).statusCode).toBe(201);
  });

  test('that was kept without it in former days can be read and removed', async () => {
    const [farm] = stored.farms;
    const id = `${'0'.repeat(25)}7`;
    const row = { farmId: farm.id, kind: 'station', id, parentId: null, text: JSON.stringify(ncei) };
    await stored.deps.store.create(row, { keyId: 'k', atMs: 0 });
    const read = await stored.ask('GET', at(`stations/${id}`));
    expect([read.statusCode, read.json().data]).toEqual([200, ncei]);
    const gone = await stored.ask('DELETE', at(`stations/${id}`), { headers: { 'if-match': '"1"' } });
    expect(gone.statusCode).toBe(204);
  });
});

describe('Idempotency-Key', () => {
  const post = (body: unknown, idempotencyKey: string, path = at('counts')) =>
    stored.ask('POST', path, { body, headers: { 'idempotency-key': idempotencyKey } });

  test('the same request again gives the first answer again, and makes nothing', async () => {
    const first = await post(own('count'), 'morning-1');
    const again = await post(own('count'), 'morning-1');
    expect([again.statusCode, again.body]).toEqual([201, first.body]);
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect(first.headers['idempotency-replayed']).toBeUndefined();
    expect(again.headers.location).toBe(first.headers.location);
  });

  test('100 at once make one', async () => {
    const answers = await Promise.all(Array.from({ length: 100 }, () => post(own('count'), 'crowd')));
    expect(new Set(answers.map(({ body }) => body)).size).toBe(1);
    expect(answers.filter(({ headers }) => headers['idempotency-replayed'] === undefined)).toHaveLength(1);
  });

  test('with another body or address it is 422', async () => {
    await post(own('count'), 'noon');
    for (const other of [post({ ...own('count'), perM2: 1 }, 'noon'), post(own('crew'), 'noon', at('crews'))]) {
      const answer = await other;
      expect([answer.statusCode, answer.json().type]).toEqual([422, '/errors#replay-mismatch']);
    }
  });

  test('it is kept, and so may not be an API key', async () => {
    const whole = farm.keys.planner;
    const refused = await post(own('count'), whole);
    const { where, allowed } = refused.json().problems[0];
    expect([refused.statusCode, where, allowed]).toEqual([
      400,
      'header Idempotency-Key',
      '1 to 200 visible letters, and no API key',
    ]);
    expect(refused.body).not.toContain(whole.slice(30, 60));
  });

  test('it gives the first answer again also when what the record names is gone', async () => {
    const machine = (await stored.ask('POST', at('machines'), { body: own('machine') })).json();
    const pass = { ...own('pass'), machineId: machine.id };
    const first = await post(pass, 'gone', at('passes'));
    expect(first.statusCode).toBe(201);
    const headers = { 'if-match': '"1"' };
    const named = { ...headers, 'content-type': 'application/json' };
    expect((await stored.ask('DELETE', at(`machines/${machine.id}`), { headers: named })).statusCode).toBe(204);
    const again = await post(pass, 'gone', at('passes'));
    expect([again.statusCode, again.body]).toEqual([201, first.body]);
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect((await post(pass, 'not-yet', at('passes'))).json().type).toBe('/errors#not-found');
  });

  test('of another key it is another name', async () => {
    const mine = await post(own('count'), 'shared');
    const theirs = await stored.ask('POST', at('counts'), {
      key: farm.keys.planner,
      body: own('count'),
      headers: { 'idempotency-key': 'shared' },
    });
    expect(theirs.json().id).not.toBe(mine.json().id);
  });
});

test('of 50 writers of one version one wins, and the version counts the wins', async () => {
  const url = at(`machines/${farm.ids.machine}`);
  const { version } = (await stored.ask('GET', url)).json();
  const headers = { 'if-match': `"${version}"` };
  const writers = Array.from({ length: 50 }, (_, i) =>
    stored.ask('PUT', url, { headers, body: { ...own('machine'), name: `Hoe ${i}` } }),
  );
  const statuses = (await Promise.all(writers)).map(({ statusCode }) => statusCode).sort();
  expect(statuses).toEqual([200, ...Array(49).fill(412)]);
  expect((await stored.ask('GET', url)).json().version).toBe(version + 1);
});

test('every problem of a body at once', async () => {
  const answer = await stored.ask('POST', at('crews'), {
    body: { name: '', kind: 'horse', from: '25:00', hoursADay: 90 },
  });
  expect(answer.statusCode).toBe(400);
  expect(
    answer
      .json()
      .problems.map(({ where }: { where: string }) => where)
      .sort(),
  ).toEqual(['from', 'hoursADay', 'kind', 'name']);
});

describe('a body of another form is told what it names wrongly too', () => {
  const FOREIGN = '0'.repeat(26);
  const told = async (method: 'POST' | 'PUT', path: string, body: object) => {
    const answer = await stored.ask(method, at(path), { body, headers: method === 'PUT' ? { 'if-match': '"1"' } : {} });
    const found: { code: string; where: string }[] = answer.json().problems;
    return [answer.statusCode, found.map(({ code, where }) => `${where} ${code}`).sort()];
  };
  const weeds = [{ species: 'triffid' }];

  test.each([
    [
      'plantings',
      () => ({ fieldId: FOREIGN, crop: 'nope', date: '2026-05-08', rowCm: -1 }),
      ['crop unknown-crop', 'fieldId not-found', 'rowCm invalid-input'],
    ],
    [
      'plantings',
      () => ({ ...own('planting'), crop: 'nope', endedOn: '2026-01-01' }),
      ['crop unknown-crop', 'endedOn invalid-input'],
    ],
    [
      'plantings',
      () => ({ ...own('planting'), endedOn: '2026-01-01', rowCm: -1, more: 1 }),
      ['endedOn invalid-input', 'more invalid-input', 'rowCm invalid-input'],
    ],
    ['machines', () => ({ name: 'X', id: 'nope', widthM: 0 }), ['id unknown-implement', 'widthM invalid-input']],
    [
      'fields',
      () => ({ ...own('field'), name: '', weeds, stationId: FOREIGN }),
      ['name invalid-input', 'stationId not-found', 'weeds[0].species unknown-species'],
    ],
    [
      'stations',
      () => ({ ...own('station'), name: '', observed: 'ncei' }),
      ['name invalid-input', 'sourceStation invalid-input'],
    ],
    [
      'crews',
      () => ({ ...own('crew'), kind: 'horse', machineIds: [FOREIGN] }),
      ['kind invalid-input', 'machineIds[0] not-found'],
    ],
    [
      'crews',
      () => ({ ...own('crew'), machineIds: ['x', FOREIGN] }),
      ['machineIds[0] invalid-input', 'machineIds[1] not-found'],
    ],
    [
      'fields',
      () => ({ ...own('field'), weeds: [{ species: 'triffid', relativeDensity: -1 }, 'x', { species: 'kudzu' }] }),
      [
        'weeds[0].relativeDensity invalid-input',
        'weeds[0].species unknown-species',
        'weeds[1] invalid-input',
        'weeds[2].species unknown-species',
      ],
    ],
    [
      'passes',
      () => ({ ...own('pass'), date: '2999-01-01', implement: 'tine-weeder', crewId: FOREIGN, depthCm: -1 }),
      ['crewId not-found', 'date invalid-input', 'depthCm invalid-input', 'machineId contradiction'],
    ],
    [
      'counts',
      () => ({ fieldId: 7, date: 'today', species: 'triffid', perM2: -1 }),
      ['date invalid-input', 'fieldId invalid-input', 'perM2 invalid-input', 'species unknown-species'],
    ],
  ] as const)('%s, case %#', async (path, body, wanted) => {
    expect(await told('POST', path, body())).toEqual([400, wanted]);
  });

  test('but not that something is unknown which it may bring itself', async () => {
    expect(await told('POST', 'machines', { name: 'X', id: 'mine', own: { id: 'mine' } })).toEqual([
      400,
      expect.not.arrayContaining(['id unknown-implement']),
    ]);
    for (const ownSpecies of [[{ id: 'triffid' }], [{}], [7], 7])
      expect(await told('POST', 'fields', { ...own('field'), weeds, ownSpecies })).toEqual([
        400,
        expect.not.arrayContaining(['weeds[0].species unknown-species']),
      ]);
    for (const body of [null, [], {}, { id: 7 }])
      expect(await told('POST', 'machines', { name: 'X', id: 'mine', own: body })).toEqual([
        400,
        expect.not.arrayContaining(['own.id contradiction']),
      ]);
  });

  test('and as a change may go on naming what was removed', async () => {
    const machine = (await stored.ask('POST', at('machines'), { body: own('machine') })).json().id;
    const crew = (await stored.ask('POST', at('crews'), { body: { ...own('crew'), machineIds: [machine] } })).json().id;
    await stored.ask('DELETE', at(`machines/${machine}`), { headers: { 'if-match': '"1"' } });
    const body = { ...own('crew'), name: '', machineIds: [machine, FOREIGN] };
    expect(await told('PUT', `crews/${crew}`, body)).toEqual([400, ['machineIds[1] not-found', 'name invalid-input']]);
  });

  test.each([[[]], ['text'], [7], [null]])('nor is it a fault of ours where it is no object: %j', async (body) => {
    for (const kind of Object.keys(recordKinds) as (keyof typeof recordKinds)[]) {
      const headers = { 'content-type': 'application/json' };
      const answer = await stored.ask('POST', at(recordKinds[kind].path), { body: JSON.stringify(body), headers });
      expect([answer.statusCode, answer.json().problems.length]).toEqual([400, 1]);
    }
  });
});

test.each([
  ['{', /^Expected property name|^Unexpected|JSON/, 'JSON'],
  ['', /^Unexpected end of JSON input/, 'JSON'],
  ['{"name":"A","__proto__":{"a":1}}', /^a member __proto__/, 'JSON without it'],
  ['{"name":"A","constructor":{"prototype":{}}}', /constructor\.prototype$/, 'JSON without it'],
])('a body %s is refused with what is wrong in it', async (body, given, allowed) => {
  const headers = { 'content-type': 'application/json', 'if-match': '"1"' };
  const answer = await stored.ask('PUT', `/v1/farms/${farm.id}`, { body, headers });
  expect(answer.statusCode).toBe(400);
  const [problem] = answer.json().problems;
  expect(problem).toMatchObject({ code: 'invalid-input', where: 'body', allowed });
  expect(problem.given).toMatch(given);
});

test('a field that names a species twice is refused at its second place; one that was kept so is read, listed and answered', async () => {
  const weeds = [{ species: 'waterhemp' }, { species: 'waterhemp', relativeDensity: 2 }];
  const refused = await stored.ask('POST', at('fields'), { body: { ...own('field'), weeds } });
  expect(refused.statusCode).toBe(400);
  expect(refused.json()).toMatchObject({
    type: '/errors#invalid-input',
    problems: [
      { where: 'weeds[1].species', given: '"waterhemp"', allowed: expect.stringContaining('each species once') },
    ],
  });

  const { id } = (await stored.ask('POST', at('fields'), { body: own('field') })).json();
  const row = await stored.deps.store.read(farm.id, 'field', id);
  if (row === null) throw new Error('no field');
  const text = JSON.stringify({ ...JSON.parse(row.text), weeds: weeds.map((one) => ({ relativeDensity: 1, ...one })) });
  await stored.deps.store.change({ ...row, text }, row.version, { keyId: 'op', atMs: Date.now() });
  const read = await stored.ask('GET', at(`fields/${id}`));
  expect([read.statusCode, read.json().data.weeds.length]).toEqual([200, 2]);
  const list = (await stored.ask('GET', at('fields?limit=200'))).json();
  expect(list.items.some((item: { id: string }) => item.id === id)).toBe(true);
  const answer = await stored.ask('GET', at(`fields/${id}/outlook?on=2026-05-19`));
  expect(answer.statusCode).toBe(200);
  expect(answer.json().emergence.map(({ species }: { species: string }) => species)).toEqual(['waterhemp']);
  await stored.ask('DELETE', at(`fields/${id}`), { headers: { 'if-match': '"2"' } });
});

test('a farm without a time zone would have the days of Greenwich, and is refused', async () => {
  const { timeZone: _, ...body } = bodies.farm;
  const answer = await stored.ask('POST', '/v1/farms', { body });
  expect(answer.statusCode).toBe(400);
  expect(answer.json().problems[0]).toMatchObject({
    where: 'timeZone',
    given: 'nothing',
    allowed: 'an IANA time zone such as America/Chicago',
  });
});

test('a question that has no effect is refused wherever a key is needed', async () => {
  const station = at(`stations/${farm.ids.station}`);
  for (const path of [station, at(`machines/${farm.ids.machine}`), `/v1/farms/${farm.id}`, at('keys')]) {
    const answer = await stored.ask('GET', `${path}?units=us`);
    expect(answer.statusCode).toBe(400);
    expect(answer.json().problems[0]).toMatchObject({ where: 'query.units', allowed: 'no name at all' });
  }
  const weather = await stored.ask('GET', `${station}/weather?days=1`);
  expect(weather.json().problems).toMatchObject([{ where: 'query.days', allowed: 'one of the names units' }]);
  expect((await stored.ask('GET', '/health?at=1')).statusCode).toBe(200);
});

test('weather is read in US units too, as columns and as CSV, which may be posted as it came', async () => {
  const url = at(`stations/${farm.ids.station}/weather`);
  const get = async (accept: string, query: string) => {
    const answer = await stored.ask('GET', url + query, { headers: { accept } });
    expect(answer.statusCode).toBe(200);
    return answer;
  };
  const metric = (await get('application/json', '')).json();
  expect((await get('application/json', '?units=metric')).json()).toEqual(metric);
  const us = (await get('application/json', '?units=us')).json();
  expect(us.startDate).toBe(metric.startDate);
  expect(us.tempMaxF[0]).toBeCloseTo(metric.tempMaxC[0] * 1.8 + 32, 3);
  expect(us.rainIn).toHaveLength(metric.rainMm.length);
  expect(us).not.toHaveProperty('tempMaxC');
  const csv = (await get('text/csv', '?units=us')).body;
  expect(csv).toMatch(/^date,tempMaxF,tempMinF,rainIn\n/);
  const other = (await stored.ask('POST', at('stations'), { body: own('station') })).json().id;
  const there = at(`stations/${other}/weather`);
  const put = await stored.ask('PUT', there, { body: csv, headers: { 'content-type': 'text/csv' } });
  expect(put.statusCode).toBe(200);
  const back = (await stored.ask('GET', there)).json();
  expect(back.tempMaxC[0]).toBeCloseTo(metric.tempMaxC[0], 3);
  expect((await stored.ask('GET', `${url}?units=imperial`)).statusCode).toBe(400);
});

test('weather as JSON and as CSV has a tag each, and a change may be meant for either', async () => {
  const url = at(`stations/${farm.ids.station}/weather`);
  const get = (accept: string, tag = '"none"') => stored.ask('GET', url, { headers: { accept, 'if-none-match': tag } });
  const [json, csv] = [await get('application/json'), await get('text/csv')];
  const [jsonTag, csvTag] = [String(json.headers.etag), String(csv.headers.etag)];
  expect(csvTag).not.toBe(jsonTag);
  expect((await get('text/csv', jsonTag)).statusCode).toBe(200);
  expect((await get('text/csv', csvTag)).statusCode).toBe(304);
  expect((await get('application/json', csvTag)).statusCode).toBe(200);
  const headers = { 'content-type': 'text/csv', 'if-match': csvTag };
  expect((await stored.ask('PUT', url, { body: csv.body, headers })).statusCode).toBe(200);
  expect(
    (await stored.ask('PUT', url, { body: csv.body, headers: { ...headers, 'if-match': '"1-xml"' } })).statusCode,
  ).toBe(412);
});

describe('If-Match', () => {
  const machine = async () => {
    const { id } = (await stored.ask('POST', at('machines'), { body: own('machine') })).json();
    const url = at(`machines/${id}`);
    const send = (method: 'PUT' | 'DELETE', match: string) =>
      stored.ask(method, url, {
        headers: { 'if-match': match },
        ...(method === 'PUT' ? { body: own('machine') } : {}),
      });
    const status = async (method: 'PUT' | 'DELETE', match: string) => (await send(method, match)).statusCode;
    return { send, status };
  };

  test('may name several versions, of which one stands, and * means whichever does', async () => {
    const { status } = await machine();
    expect(await status('PUT', '"7", "1"')).toBe(200);
    expect(await status('PUT', '"7" ,, W/"x,y", "2-gzip",')).toBe(200);
    expect(await status('PUT', '*')).toBe(200);
    expect(await status('PUT', '"1", "2", "3"')).toBe(412);
    expect(await status('DELETE', '*')).toBe(204);
    expect(await status('PUT', '*')).toBe(404);
  });

  test.each(['W/"1"', '"0"', '"01"', '"x"', '""', '"7", W/"1"', '"1-xml"', '"999999999999999999"'])(
    '%s is of no version that stands: 412, which tells the one that does',
    async (match) => {
      const { send } = await machine();
      for (const method of ['PUT', 'DELETE'] as const) {
        const answer = await send(method, match);
        expect([answer.statusCode, answer.json().problems]).toMatchObject([
          412,
          [{ code: 'version-conflict', allowed: 'the version that stands, 1' }],
        ]);
      }
    },
  );

  test.each(['1', '', '"1', '"1" "2', '*, "1"', '"1", x'])('%j is no ETag: 400', async (match) => {
    const { send } = await machine();
    const answer = await send('PUT', match);
    expect([answer.statusCode, answer.json().problems[0].where]).toEqual([400, 'header If-Match']);
  });

  test('* on weather takes the place of a series, and not of none', async () => {
    const made = await stored.ask('POST', at('stations'), { body: own('station') });
    const url = at(`stations/${made.json().id}/weather`);
    const put = async (match?: string) => {
      const headers = match === undefined ? {} : { 'if-match': match };
      return (await stored.ask('PUT', url, { body: exampleField.weather, headers: { ...headers } })).statusCode;
    };
    expect([await put('*'), await put('"0"'), await put('W/"1"')]).toEqual([412, 412, 412]);
    expect([await put(), await put('*'), await put('"5", "1"'), await put('W/"1"')]).toEqual([200, 200, 200, 412]);
  });
});

test('weather that is to be new takes the place of none; a condition that a write does not take is refused', async () => {
  const body = exampleField.weather;
  const made = await stored.ask('POST', at('stations'), { body: own('station') });
  const put = (given: object, method: 'PUT' | 'PATCH' = 'PUT') =>
    stored.ask(method, at(`stations/${made.json().id}/weather`), { body, headers: { ...given } });
  const isNew = { 'if-none-match': '*' };
  expect((await put({ 'if-match': '"1"' })).statusCode).toBe(412);
  expect((await put(isNew)).headers.etag).toBe('"1"');
  for (const method of ['PUT', 'PATCH'] as const) expect((await put(isNew, method)).statusCode).toBe(412);
  for (const given of [{ 'if-none-match': '"1"' }, { ...isNew, 'if-match': '"1"' }])
    expect((await put(given)).json().problems[0]).toMatchObject({ where: 'header If-None-Match' });
  const station = at(`stations/${made.json().id}`);
  const writes = [
    await stored.ask('POST', at('stations'), { body: own('station'), headers: isNew }),
    await stored.ask('POST', at('stations'), { body: own('station'), headers: { 'if-match': '"1"' } }),
    await stored.ask('PUT', station, { body: own('station'), headers: { ...isNew, 'if-match': '"1"' } }),
    await stored.ask('DELETE', station, { headers: { ...isNew, 'if-match': '"1"' } }),
  ];
  expect(writes.map(({ statusCode }) => statusCode)).toEqual([400, 400, 400, 400]);
  expect((await stored.ask('GET', station)).headers.etag).toBe('"1"');
});

test('weather that begins after today is told by its dates', async () => {
  const body = { startDate: '2090-01-01', tempMaxC: [10, 11], tempMinC: [1, 2], rainMm: [0, 0] };
  const late = await stored.ask('PUT', at(`stations/${farm.ids.station}/weather`), { body });
  expect(late.json().problems).toHaveLength(1);
  expect(late.json().problems[0]).toMatchObject({ code: 'weather-date', given: 'observed days up to 2090-01-02' });
});

test('a body that is not UTF-8 is refused with its byte; letters of any script are kept', async () => {
  const post = (payload: Buffer) =>
    stored.app.inject({
      method: 'POST',
      url: at('crews'),
      headers: { authorization: `Bearer ${stored.operator}`, 'content-type': 'application/json' },
      payload,
    });
  const body = JSON.stringify({ ...own('crew'), name: 'Sch\xf6n' });
  const latin = await post(Buffer.from(body, 'latin1'));
  expect([latin.statusCode, latin.json().problems]).toEqual([
    400,
    [
      {
        code: 'invalid-input',
        where: `body, byte ${body.indexOf('\xf6')}`,
        given: 'a byte 0xf6 that is not UTF-8',
        allowed: 'text in UTF-8',
        advice: 'Send the body in UTF-8',
      },
    ],
  ]);
  expect((await post(Buffer.from(body, 'utf16le'))).json().problems[0].given).toContain('NUL');
  const utf8 = await post(Buffer.from(`\uFEFF${body}`, 'utf8'));
  expect([utf8.statusCode, utf8.json().data.name]).toEqual([201, 'Sch\xf6n']);
});

test('a name that is blank or would break the lines of a text is refused, wherever it stands', async () => {
  const refused = async (url: string, body: unknown) => {
    const answer = await stored.ask('POST', url, { body });
    return [answer.statusCode, ...answer.json().problems.map(({ where }: { where: string }) => where)];
  };
  const forged = 'A\n\u001b[31mBest: spray';
  expect(await refused('/v1/farms', { ...bodies.farm, name: '  ' })).toEqual([400, 'name']);
  expect(await refused(at('fields'), { ...own('field'), name: forged })).toEqual([400, 'name']);
  expect(await refused(at('machines'), { ...own('machine'), name: 'hoe\u0000' })).toEqual([400, 'name']);
  expect(await refused(at('counts'), { ...own('count'), note: '\u001b[2J' })).toEqual([400, 'note']);
  expect(await refused(at('keys'), { role: 'reader', label: forged })).toEqual([400, 'label']);
  expect(await refused('/v1/outlooks', { ...exampleField, name: forged })).toEqual([400, 'name']);
  const [crop] = catalogue.crops;
  const moss = { ...crop, id: 'moss', name: forged, stages: [{ name: forged, leaf: 0 }] };
  const whole = await refused('/v1/outlooks', { ...exampleField, ownCrops: [moss] });
  expect(whole).toEqual([400, 'ownCrops[0].name', 'ownCrops[0].stages[0].name']);
});

test('a note that would be a formula is none in the record for the certifier', async () => {
  const date = '2026-04-02';
  const note = '=HYPERLINK("http://localhost")\nDry';
  await stored.ask('POST', at('passes'), { body: { ...own('pass'), date, note } });
  const span = at(`pass-record?from=${date}&to=${date}`);
  const csv = await stored.ask('GET', span, { headers: { accept: 'text/csv' } });
  expect(csv.body).toContain(`,"'=HYPERLINK(""http://localhost"")\nDry",`);
  const json = await stored.ask('GET', span, { headers: { accept: 'application/json' } });
  expect(json.json().items[0].note).toBe(note);
});

test('a name that neither the farm nor the catalogue has is 422 and says what there is', async () => {
  const answer = await stored.ask('POST', at('plantings'), { body: { ...own('planting'), crop: 'moon-wheat' } });
  expect([answer.statusCode, answer.json().type]).toEqual([422, '/errors#unknown-crop']);
  expect(answer.json().problems[0].allowed).toContain('soybean');
});

describe('farms', () => {
  test('an operator sees all, a key its own; a removed one takes its keys along', async () => {
    const all = (await stored.ask('GET', '/v1/farms')).json().items;
    expect(all.length).toBeGreaterThanOrEqual(2);
    const mine = (await stored.ask('GET', '/v1/farms', { key: farm.keys.reader })).json().items;
    expect(mine.map(({ id }: { id: string }) => id)).toEqual([farm.id]);
    const made = await stored.ask('POST', '/v1/farms', { body: bodies.farm });
    const { id } = made.json();
    const keyed = await stored.ask('POST', `/v1/farms/${id}/keys`, { body: { role: 'keeper', label: 'Ann' } });
    expect(keyed.statusCode).toBe(201);
    const { key } = keyed.json();
    expect((await stored.ask('GET', `/v1/farms/${id}`, { key })).statusCode).toBe(200);
    const changed = await stored.ask('PUT', `/v1/farms/${id}`, {
      key,
      body: { ...bodies.farm, name: 'Renamed' },
      headers: { 'if-match': '"1"' },
    });
    expect(changed.json().data.name).toBe('Renamed');
    const gone = await stored.ask('DELETE', `/v1/farms/${id}`, { headers: { 'if-match': '"2"' } });
    expect(gone.statusCode).toBe(204);
    expect((await stored.ask('GET', `/v1/farms/${id}`, { key })).statusCode).toBe(401);
  });
});

describe('keys', () => {
  test('are not made under a name of the request, which could not give the same answer again', async () => {
    const before = (await stored.ask('GET', at('keys'), { key: farm.keys.keeper })).json().items.length;
    for (const path of [at('keys'), '/v1/keys']) {
      const key = path === '/v1/keys' ? stored.operator : farm.keys.keeper;
      const body = path === '/v1/keys' ? { role: 'operator', label: 'once' } : { role: 'reader', label: 'once' };
      const refused = await stored.ask('POST', path, { key, body, headers: { 'idempotency-key': 'k1' } });
      expect([refused.statusCode, refused.json().problems[0].where]).toEqual([400, 'header Idempotency-Key']);
    }
    const after = (await stored.ask('GET', at('keys'), { key: farm.keys.keeper })).json().items.length;
    expect(after).toBe(before);
  });

  test('are shown once, listed without their secret, and open nothing once revoked or past their day', async () => {
    const keys = at('keys');
    const made = (
      await stored.ask('POST', keys, { key: farm.keys.keeper, body: { role: 'reader', label: 'Bo' } })
    ).json();
    expect((await stored.ask('GET', at('fields'), { key: made.key })).statusCode).toBe(200);
    const listed = await stored.ask('GET', keys, { key: farm.keys.keeper });
    expect(listed.body).toContain(made.id);
    expect(listed.body).not.toContain(made.key.slice(-43));
    expect(listed.body.toLowerCase()).not.toContain('hash');
    expect((await stored.ask('DELETE', `${keys}/${made.id}`, { key: farm.keys.keeper })).statusCode).toBe(204);
    expect((await stored.ask('GET', at('fields'), { key: made.key })).statusCode).toBe(401);
    const wish = { farmId: farm.id, role: 'reader', label: 'Cy', expiresAtMs: 1000 } as const;
    const { text } = await freshKey({ ...stored.deps, nowMs: () => 0 }, wish);
    expect((await stored.ask('GET', at('fields'), { key: text })).statusCode).toBe(401);
  });

  test('that would be over already are not made', async () => {
    const past = { role: 'reader', label: 'Cy', expiresAt: '2025-01-01T00:00:00Z' };
    const made = await stored.ask('POST', at('keys'), { key: farm.keys.keeper, body: past });
    expect([made.statusCode, made.json().problems[0]]).toMatchObject([
      400,
      { where: 'expiresAt', given: '2025-01-01T00:00:00.000Z' },
    ]);
    const own = { ...past, role: 'operator' };
    expect((await stored.ask('POST', '/v1/keys', { body: own })).statusCode).toBe(400);
  });

  test('that would end in a year of five digits are not made, and the list stays readable', async () => {
    const key = farm.keys.keeper;
    const until = (expiresAt: string) =>
      stored.ask('POST', at('keys'), { key, body: { role: 'reader', label: 'Di', expiresAt } });
    const refused = await until('9999-12-31T23:59:59-05:00');
    expect([refused.statusCode, refused.json().problems]).toMatchObject([
      400,
      [{ where: 'expiresAt', allowed: expect.stringContaining('before the year 10000') }],
    ]);
    expect((await until('9999-12-31T23:59:59.999Z')).statusCode).toBe(201);
    expect((await stored.ask('GET', at('keys'), { key })).statusCode).toBe(200);
  });

  test('do not take a key for a label, and say so without its secret', async () => {
    const whole = farm.keys.reader;
    for (const label of [whole, `Tablet of ${whole.slice(0, -3)}`, whole.replace('wt_', 'wt%5F')]) {
      const refused = await stored.ask('POST', at('keys'), { body: { role: 'reader', label } });
      const { where, given, allowed } = refused.json().problems[0];
      expect([refused.statusCode, where, allowed]).toEqual([400, 'label', 'text without an API key']);
      expect(given).toContain('_...');
      expect(refused.body).not.toContain(whole.slice(30, 60));
    }
    expect((await stored.ask('GET', at('keys'))).body).not.toContain(whole.slice(30, 60));
    const own = { role: 'operator', label: whole };
    expect((await stored.ask('POST', '/v1/keys', { body: own })).statusCode).toBe(400);
  });

  test('a keeper cannot make an operator, an operator can', async () => {
    const wish = { role: 'operator', label: 'Me' };
    expect((await stored.ask('POST', at('keys'), { key: farm.keys.keeper, body: wish })).statusCode).toBe(400);
    expect((await stored.ask('POST', '/v1/keys', { key: farm.keys.keeper, body: wish })).statusCode).toBe(403);
    const made = await stored.ask('POST', '/v1/keys', { body: wish });
    expect(made.statusCode).toBe(201);
    expect((await stored.ask('GET', '/v1/keys', { key: made.json().key })).statusCode).toBe(200);
  });
});

test('lists and histories of long records come in pages of some MB, and `next` leads to all of them', async () => {
  const name = 'é'.repeat(1_500_000);
  const made = Array.from({ length: 5 }, (_, i) => `longrecord0${i}`);
  const row = { farmId: farm.id, kind: 'crew', parentId: null, text: JSON.stringify({ name }) };
  for (const id of made) await stored.deps.store.create({ ...row, id }, { keyId: 'k', atMs: 1 });
  for (const url of [at('crews?limit=200'), at('history?kind=crew&limit=200')]) {
    const found: string[] = [];
    for (let next: string | null = ''; next !== null; ) {
      const page = await stored.ask('GET', `${url}${next === '' ? '' : `&cursor=${next}`}`);
      expect([page.statusCode, page.rawPayload.length < 8e6]).toEqual([200, true]);
      found.push(...page.json().items.map(({ id }: { id: string }) => id));
      next = page.json().next;
    }
    expect(found.filter((id) => made.includes(id))).toEqual(made);
  }
});
