import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bodies } from '../../../src/http/examples/records.ts';
import { freshKey } from '../../../src/service/keys.ts';
import { type Stored, storedApp } from '../stored.ts';
import { holder } from './held.ts';
import { addressOf, bodyFor, document, type Operation, operations } from './operations.ts';

const held = holder(document);
let stored: Stored;
beforeAll(async () => {
  stored = await storedApp({}, { nowMs: () => Date.parse('2026-05-19T12:00:00Z') });
});
afterAll(() => stored.close());

const goodStatus = ({ shown }: Operation): number =>
  Number(Object.keys(shown.responses).find((status) => status.startsWith('2')));
const typesOf = ({ shown }: Operation): string[] => {
  const good = Object.entries(shown.responses).find(([status]) => status.startsWith('2'));
  return Object.keys(good?.[1].content ?? { '*/*': {} });
};

const aStation = async (farmId: string): Promise<string> =>
  (await stored.ask('POST', `/v1/farms/${farmId}/stations`, { body: bodies.station })).json().id;

/** The address with a record or a key that may go, where something goes. */
const asked = async ({ path, body, method }: Operation, farm = stored.farms[0]) => {
  const farmId = path.includes('{farmId}') ? farm.id : null;
  const role = farmId === null ? 'operator' : 'reader';
  const isKey = path.includes('{keyId}');
  const keyId = isKey ? (await freshKey(stored.deps, { farmId, role, label: '', expiresAtMs: null })).key.id : '';
  // A station that fields stand under may not go.
  const free =
    method === 'DELETE' && path.includes('/stations/')
      ? { ids: { ...farm.ids, station: await aStation(farm.id) } }
      : {};
  const url = addressOf(path, farm, { ...farm, ...free }, keyId);
  const changes = (method === 'PUT' || method === 'DELETE') && !isKey;
  const etag = changes ? String((await stored.ask('GET', url)).headers.etag) : undefined;
  return { url, body: bodyFor(body, farm), headers: etag === undefined ? {} : { 'if-match': etag } };
};

describe('a good answer of every operation, in each of its types and units, is as the document says', () => {
  // What goes, goes last, and the farm after all that it keeps.
  const turn = ({ method, path }: Operation): number => (method === 'DELETE' ? 100 - path.split('/').length : 0);
  const inOrder = operations.toSorted((a, b) => turn(a) - turn(b));
  test.each(inOrder.map((operation) => [operation.id, operation] as const))('%s', async (_, operation) => {
    const hasUnits = operation.shown.parameters?.some(({ name }) => name === 'units') === true;
    for (const accept of typesOf(operation))
      for (const query of hasUnits ? ['', '?units=us', '?units=metric'] : ['']) {
        const { url, body, headers } = await asked(operation);
        const own = { headers: { ...headers, accept }, ...(body === undefined ? {} : { body }) };
        // A look-up that is repeated may be answered from memory.
        for (let times = operation.method === 'GET' ? 2 : 1; times > 0; times--) {
          const answer = await stored.ask(operation.method, url + query, own);
          expect([answer.statusCode, answer.body.slice(0, 300)]).toEqual([goodStatus(operation), expect.anything()]);
          held(operation, answer);
        }
      }
  });
});

const readAgain = operations.filter(({ shown }) => '304' in shown.responses);
test.each(readAgain.map((operation) => [operation.id, operation] as const))(
  '%s is 304 where the caller has what its ETag names',
  async (_, operation) => {
    const url = addressOf(operation.path, stored.farms[1]);
    const { etag } = (await stored.ask('GET', url)).headers;
    const answer = await stored.ask('GET', url, { headers: { 'if-none-match': String(etag) } });
    expect(answer.statusCode).toBe(304);
    held(operation, answer);
  },
);

test('a station that a field stands under is not removed', async () => {
  const operation = operations.find(({ id }) => id === 'removeStation') as Operation;
  const url = addressOf(operation.path, stored.farms[1]);
  const answer = await stored.ask('DELETE', url, { headers: { 'if-match': '"1"' } });
  expect([answer.statusCode, answer.json().type]).toEqual([409, '/errors#in-use']);
  held(operation, answer);
});

test('a post that is repeated says so, and one more than allowed says how long to wait', async () => {
  const find = (name: string) => operations.find(({ id }) => id === name) as Operation;
  const post = find('createCount');
  const { url, body } = await asked(post, stored.farms[1]);
  const own = { body, headers: { 'idempotency-key': 'once' } };
  await stored.ask('POST', url, own);
  const again = await stored.ask('POST', url, own);
  expect(again.headers['idempotency-replayed']).toBe('true');
  held(post, again);

  const scarce = await storedApp({ ratePerMinute: 20 });
  for (let i = 0; i < 20; i++) await scarce.ask('GET', '/v1/keys');
  const refused = await scarce.ask('GET', '/v1/keys');
  expect(refused.statusCode).toBe(429);
  held(find('listKeys'), refused);
  await scarce.close();
});

test('what is not declared, what is missing and what is of another form are all found', async () => {
  const operation = operations.find(({ id }) => id === 'readField') as Operation;
  const { url } = await asked(operation, stored.farms[1]);
  const good = await stored.ask('GET', url);
  const changed = (headers: object, body = good.body) =>
    ({ statusCode: 200, headers: { ...good.headers, ...headers }, body }) as unknown as typeof good;
  held(operation, changed({}));
  expect(() => held(operation, changed({ 'last-modified': 'yesterday' }))).toThrow('not declared');
  expect(() => held(operation, changed({ etag: undefined }))).toThrow('lacks');
  expect(() => held(operation, changed({}, good.body.replace('"version":1', '"version":"1"')))).toThrow('schema');
  expect(() => held(operation, changed({ 'content-type': 'text/csv' }))).toThrow('gives');
});
