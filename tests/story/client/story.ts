import assert from 'node:assert/strict';
import { type Api, apiWith, refused, told, toldText } from './api.ts';
import { columns, csv, outline, place, soil, TODAY, weeds, wholeField } from './farm.ts';

/**
 * A backend of another house, written against the types that the OpenAPI file gives and nothing else:
 * `story.ts ADDRESS OPERATOR_KEY` goes through a season and prints a line for each chapter.
 */
const [address = '', operatorKey = ''] = process.argv.slice(2);
const operator = apiWith(address, operatorKey);

const makesAFarm = async (): Promise<{ farmId: string; api: Api }> => {
  const body = { name: 'Plumbline Hollow', timeZone: 'America/Chicago', units: 'metric' as const };
  const farm = told(await operator.POST('/v1/farms', { body }), 201);
  const farmId = farm.data.id;
  const made = await operator.POST('/v1/farms/{farmId}/keys', {
    params: { path: { farmId } },
    body: { role: 'keeper', label: 'farm office' },
  });
  return { farmId, api: apiWith(address, told(made, 201).data.key) };
};

const { farmId, api } = await makesAFarm();
console.log('makes a farm and a key for it');
const params = { path: { farmId } };
const at = (id: string) => ({ path: { farmId, id } });

const keepsWeather = async (): Promise<string> => {
  const made = await api.POST('/v1/farms/{farmId}/stations', { params, body: { name: 'Yard', ...place } });
  const { id } = told(made, 201).data;
  const address = '/v1/farms/{farmId}/stations/{id}/weather';
  assert.ok((await api.PUT(address, { params: at(id), body: columns(0, 120) })).response.ok);
  const patched = await api.PATCH(address, {
    params: at(id),
    body: csv(120, 150),
    bodySerializer: (text) => text,
    headers: { 'content-type': 'text/csv' },
  });
  assert.ok(patched.response.ok, JSON.stringify(patched.error));
  const { data: kept } = told(await api.GET(address, { params: at(id) }));
  assert.ok('tempMaxC' in kept, 'metric, as units=us was not asked for');
  assert.deepEqual(kept.tempMaxC, columns(0, 150).tempMaxC);
  return id;
};
const stationId = await keepsWeather();
console.log('keeps weather as columns and as CSV');

const drawsFields = async (): Promise<readonly [string, string]> => {
  const point = { type: 'Point' as const, coordinates: [-93, 41.7] as [number, number] };
  const draw = async (name: string, geometry: typeof point | typeof outline) =>
    told(
      await api.POST('/v1/farms/{farmId}/fields', {
        params,
        body: { name, geometry, areaHa: 24, soil, weeds, stationId },
      }),
      201,
    ).data.id;
  return [await draw('Gate Field', point), await draw('Long Strip', outline)];
};
const [gate, strip] = await drawsFields();
const listed = told(await api.GET('/v1/farms/{farmId}/fields', { params: { ...params, query: { limit: 1 } } })).data;
assert.equal(listed.items.length, 1);
const rest = { ...params, query: { cursor: String(listed.next) } };
assert.equal(told(await api.GET('/v1/farms/{farmId}/fields', { params: rest })).data.items.length, 1);
console.log('draws fields, as a point and as an outline');

const hoe = told(
  await api.POST('/v1/farms/{farmId}/machines', {
    params,
    body: { name: 'The old hoe', id: 'rotary-hoe', widthM: 6.4 },
  }),
  201,
).data.id;
await api.POST('/v1/farms/{farmId}/machines', { params, body: { name: 'Tines', id: 'tine-weeder' } });
const crew = told(
  await api.POST('/v1/farms/{farmId}/crews', {
    params,
    body: { name: 'Tractor and one driver', kind: 'tractor', machineIds: [hoe] },
  }),
  201,
).data.id;
console.log('has machines and a crew');

const worksTheField = async (): Promise<void> => {
  const planting = { fieldId: gate, crop: 'soybean', date: '2026-05-05', depthCm: 4, rowCm: 76 };
  told(await api.POST('/v1/farms/{farmId}/plantings', { params, body: planting }), 201);
  const pass = {
    fieldId: gate,
    date: '2026-05-09',
    implement: 'rotary-hoe',
    machineId: hoe,
    crewId: crew,
    note: 'Dry',
  };
  told(await api.POST('/v1/farms/{farmId}/passes', { params, body: pass }), 201);
  const count = { fieldId: gate, date: '2026-05-11', species: 'waterhemp', stage: 'cotyledon' as const, perM2: 40 };
  told(await api.POST('/v1/farms/{farmId}/counts', { params, body: count }), 201);
};
await worksTheField();
console.log('plants, hoes and counts');

const asksForTomorrow = async (): Promise<void> => {
  const address = '/v1/farms/{farmId}/tomorrow';
  const query = { on: TODAY, days: 3 };
  const { data } = told(await api.GET(address, { params: { ...params, query } }));
  assert.equal(data.today, TODAY);
  assert.deepEqual(
    data.fields.map(({ name }) => name),
    ['Gate Field', 'Long Strip'],
  );
  const [first] = data.fields;
  assert.equal(first?.crop?.crop, 'soybean');
  assert.ok(first?.windowDays.some(({ implement }) => implement === 'rotary-hoe'));
  for (const accept of ['text/csv', 'text/plain']) {
    const answer = await api.GET(address, { params: { ...params, query }, headers: { accept }, parseAs: 'text' });
    assert.match(toldText(answer, accept), /Gate Field/);
  }
  const one = await api.GET('/v1/farms/{farmId}/fields/{id}/outlook', {
    params: { ...at(gate), query: { on: TODAY } },
  });
  assert.equal(told(one).data.today, TODAY);
};
await asksForTomorrow();
console.log('asks for tomorrow as JSON, CSV and text');

const changesAField = async (): Promise<void> => {
  const address = '/v1/farms/{farmId}/fields/{id}';
  const { data, etag } = told(await api.GET(address, { params: at(strip) }));
  const write = (name: string, ifMatch: string) =>
    api.PUT(address, {
      params: { ...at(strip), header: { 'if-match': ifMatch } },
      body: { ...data.data, name },
    });
  const changed = told(await write('Long Strip, west', etag));
  assert.equal(changed.data.version, 2);
  refused(await write('Long Strip, east', etag), 412, 'version-conflict');
  const unchanged = await api.GET(address, { params: at(strip), headers: { 'if-none-match': changed.etag } });
  assert.equal(unchanged.response.status, 304);
};
await changesAField();
console.log('changes a field once, and not over the change of another');

const postsTwice = async (): Promise<void> => {
  const post = (date: string) =>
    api.POST('/v1/farms/{farmId}/passes', {
      params: { ...params, header: { 'idempotency-key': 'tablet-7-pass-12' } },
      body: { fieldId: strip, date, implement: 'tine-weeder' },
    });
  const first = told(await post('2026-05-10'), 201).data.id;
  const again = await post('2026-05-10');
  assert.equal(again.data?.id, first);
  refused(await post('2026-05-11'), 422, 'replay-mismatch');
};
await postsTwice();
console.log('posts twice and makes one record');

const record = await api.GET('/v1/farms/{farmId}/pass-record', {
  params: { ...params, query: { from: '2026-01-01', to: '2026-12-31' } },
  headers: { accept: 'text/csv' },
  parseAs: 'text',
});
assert.match(
  toldText(record, 'text/csv'),
  /2026-05-09,Gate Field,24,weed control,The old hoe \(rotary-hoe\),Tractor and one driver/,
);
console.log('takes the pass record for the certifier');

const history = told(await api.GET('/v1/farms/{farmId}/history', { params: { ...params, query: { id: strip } } })).data;
assert.deepEqual(
  history.items.map(({ action, version }) => [action, version]),
  [
    ['create', 1],
    ['change', 2],
  ],
);
console.log('reads who changed what');

const streams = async (): Promise<void> => {
  const answer = await api.POST('/v1/outlook-batches', {
    body: { fields: [wholeField('one'), { ...wholeField('two'), planting: { crop: 'moonbeam', date: TODAY } }] },
    headers: { accept: 'application/x-ndjson' },
    parseAs: 'text',
  });
  const lines = toldText(answer, 'application/x-ndjson').trim().split('\n');
  const answers = lines.map((line) => JSON.parse(line)).sort((a, b) => a.index - b.index);
  assert.equal(answers[0].outlook.name, 'one');
  assert.equal(answers[1].problems[0].code, 'unknown-crop');
};
await streams();
console.log('streams the outlooks of a batch');

const meetsRefusals = async (): Promise<void> => {
  const body = { name: '', latitudeDeg: 200, longitudeDeg: -93 };
  const wrong = await api.POST('/v1/farms/{farmId}/stations', { params, body });
  refused(wrong, 400, 'invalid-input');
  assert.equal(wrong.error?.problems.length, 2);
  refused(await apiWith(address, 'wt_nobody').GET('/v1/farms/{farmId}', { params }), 401, 'unauthenticated');
  refused(await api.POST('/v1/farms', { body: { name: 'Another', timeZone: 'UTC' } }), 403, 'forbidden');
  const other = told(await operator.POST('/v1/farms', { body: { name: 'Next door', timeZone: 'UTC' } }), 201).data.id;
  refused(await api.GET('/v1/farms/{farmId}', { params: { path: { farmId: other } } }), 404, 'not-found');
};
await meetsRefusals();
console.log('meets what is refused, and why');
