import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { freshKey, type KeyWish } from '../../../src/service/keys.ts';
import { type Role, roles } from '../../../src/store/contract.ts';
import { type Stored, storedApp } from '../stored.ts';
import { addressOf, bodyFor, namesRecords, type Operation, operations, rank } from './operations.ts';

let stored: Stored;
beforeAll(async () => {
  stored = await storedApp();
});
afterAll(() => stored.close());

/** What makes something new takes no version. */
const ifMatch = (method: string): Record<string, string> => (method === 'POST' ? {} : { 'if-match': '"999"' });
const keyed = operations.filter(({ role }) => role !== null);
const onFarm = keyed.filter(({ path }) => path.includes('{farmId}'));
const name = ({ method, path }: Operation): string => `${method} ${path}`;

test('the document has the routes of this walk', () => {
  expect(operations.length).toBeGreaterThan(55);
  expect(onFarm.length).toBeGreaterThan(40);
});

describe('without a key, or with one that is wrong, every route but the open ones is 401', () => {
  test.each(keyed.map((operation) => [name(operation), operation] as const))(
    '%s',
    async (_, { method, path, body }) => {
      const url = addressOf(path, stored.farms[0]);
      for (const key of [null, `wt_${'0'.repeat(26)}_${'A'.repeat(43)}`]) {
        const own = { key, headers: { ...ifMatch(method), 'x-forwarded-for': '192.0.2.7' } };
        const answer = await stored.app.inject({
          method,
          url,
          headers: { ...own.headers, ...(key === null ? {} : { authorization: `Bearer ${key}` }) },
          // Each from an address of its own: ten wrong keys from one are 429.
          remoteAddress: `10.0.${Math.floor(Math.random() * 250)}.${Math.floor(Math.random() * 250)}`,
          ...(body === undefined ? {} : { payload: body as object }),
        });
        expect(answer.statusCode).toBe(401);
        expect(answer.headers['content-type']).toBe('application/problem+json; charset=utf-8');
      }
    },
  );
});

describe('with the key of another farm every route of a farm is 404', () => {
  test.each(onFarm.map((operation) => [name(operation), operation] as const))(
    '%s',
    async (_, { method, path, body }) => {
      const [mine, other] = stored.farms;
      const key = mine.keys.keeper;
      const theirs = addressOf(path, other);
      const inPath = await stored.ask(method, theirs, {
        key,
        headers: ifMatch(method),
        ...(body === undefined ? {} : { body }),
      });
      expect(inPath.statusCode).toBe(404);
      expect(inPath.json().type).toBe('/errors#not-found');
    },
  );
});

describe('ids of another farm under the own one are 404', () => {
  const withId = onFarm.filter(({ path }) => path.includes('{id}'));
  test.each(withId.map((operation) => [name(operation), operation] as const))(
    '%s',
    async (_, { method, path, body }) => {
      const [mine, other] = stored.farms;
      const url = addressOf(path, mine, other);
      const own = bodyFor(body, mine);
      const answer = await stored.ask(method, url, {
        key: mine.keys.keeper,
        headers: ifMatch(method),
        ...(own === undefined ? {} : { body: own }),
      });
      expect(answer.statusCode).toBe(404);
    },
  );

  const naming = onFarm.filter(({ body }) => namesRecords(body));
  test.each(naming.map((operation) => [name(operation), operation] as const))(
    'in the body: %s',
    async (_, operation) => {
      const [mine, other] = stored.farms;
      const answer = await stored.ask(operation.method, addressOf(operation.path, mine), {
        key: mine.keys.keeper,
        headers: ifMatch(operation.method),
        body: bodyFor(operation.body, other),
      });
      expect(answer.statusCode).toBe(404);
      expect(answer.json().problems[0].where).toMatch(/Id/);
    },
  );

  test('a key of another farm is not there to be revoked', async () => {
    const [mine, other] = stored.farms;
    const { items } = (await stored.ask('GET', `/v1/farms/${other.id}/keys`)).json();
    const url = `/v1/farms/${mine.id}/keys/${items[0].id}`;
    expect((await stored.ask('DELETE', url, { key: mine.keys.keeper })).statusCode).toBe(404);
  });
});

describe('every route asks for its role', () => {
  const farmRoles = roles.filter((role) => role !== 'operator') as Exclude<Role, 'operator'>[];
  const cells = keyed.flatMap((operation) =>
    farmRoles.map((role) => [`${role}: ${name(operation)}`, role, operation] as const),
  );
  test.each(cells)('%s', async (_, role, { method, path, role: least, body }) => {
    const [mine] = stored.farms;
    // A version that is not there, so that whoever may do it changes nothing; a key that may go.
    const own = bodyFor(body, mine);
    const wish = { farmId: path.includes('{farmId}') ? mine.id : null, role: 'reader', label: '', expiresAtMs: null };
    const keyId = path.includes('{keyId}') ? (await freshKey(stored.deps, wish as KeyWish)).key.id : '';
    const answer = await stored.ask(method, addressOf(path, mine, mine, keyId), {
      key: mine.keys[role],
      headers: { ...ifMatch(method), accept: '*/*' },
      ...(own === undefined ? {} : { body: own }),
    });
    if (rank(role) >= rank(least as Role)) expect([401, 403, 404]).not.toContain(answer.statusCode);
    else expect([answer.statusCode, answer.json().type]).toEqual([403, '/errors#forbidden']);
  });
});

describe('a property that is not in the schema is refused', () => {
  const bodied = operations.filter(({ body }) => body !== undefined);
  test.each(bodied.map((operation) => [name(operation), operation] as const))(
    '%s',
    async (_, { method, path, body }) => {
      const [mine] = stored.farms;
      for (const extra of ['farmId', 'role2', 'createdAt']) {
        const answer = await stored.ask(method, addressOf(path, mine), {
          headers: ifMatch(method),
          body: { ...bodyFor(body, mine), [extra]: 'operator' },
        });
        expect(answer.statusCode).toBe(400);
        expect(answer.json().type).toBe('/errors#invalid-input');
      }
    },
  );
});
