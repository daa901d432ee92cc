import { type KeyWish, listKeys, makeKey, revokeKey, type ShownKey } from '../../service/keys.ts';
import { asker } from '../access.ts';
import { keyList, keyMade, nothing } from '../answers/schema.ts';
import type { App, HttpDeps } from '../contract.ts';
import { assertNoOnce } from '../once.ts';
import { farmKeyParams, farmParams, keyParams, keyRequest, operatorKeyRequest } from '../schema.ts';

const tags = ['keys'];

const instant = (ms: number): string => new Date(ms).toISOString();
const instantOrNull = (ms: number | null): string | null => (ms === null ? null : instant(ms));

const keyOf = ({ id, farmId, role, label, ...at }: ShownKey) => ({
  id,
  farmId,
  role,
  label,
  createdAt: instant(at.createdAtMs),
  expiresAt: instantOrNull(at.expiresAtMs),
  revokedAt: instantOrNull(at.revokedAtMs),
});

type Wished = Pick<KeyWish, 'role' | 'label'> & { readonly expiresAt?: string | undefined };

const wishOf = (farmId: string | null, { role, label, expiresAt }: Wished): KeyWish => ({
  farmId,
  role,
  label,
  expiresAtMs: expiresAt === undefined ? null : Date.parse(expiresAt),
});

const MAKING =
  'The answer holds the key in its only showing: the server keeps a hash of it. Without `expiresAt` it has no end.';

const farmKeyRoutes = (app: App, deps: HttpDeps): void => {
  app.post(
    '/v1/farms/:farmId/keys',
    {
      config: { role: 'keeper' },
      schema: {
        operationId: 'createFarmKey',
        summary: 'Make a key of a farm',
        description: MAKING,
        tags,
        params: farmParams,
        body: keyRequest,
        response: { 201: keyMade.describe('The key, once') },
      },
    },
    async (request, reply) => {
      assertNoOnce(request);
      const { key, text } = await makeKey(deps, asker(request), wishOf(request.params.farmId, request.body));
      request.made = { id: key.id, role: key.role, label: key.label };
      return reply.code(201).send({ ...keyOf(key), key: text });
    },
  );
  app.get(
    '/v1/farms/:farmId/keys',
    {
      config: { role: 'keeper' },
      schema: {
        operationId: 'listFarmKeys',
        summary: 'List the keys of a farm',
        description: 'Revoked and expired ones too. No key is shown.',
        tags,
        params: farmParams,
        response: { 200: keyList.describe('The keys') },
      },
    },
    async (request) => ({ items: (await listKeys(deps, asker(request), request.params.farmId)).map(keyOf) }),
  );
  app.delete(
    '/v1/farms/:farmId/keys/:keyId',
    {
      config: { role: 'keeper' },
      schema: {
        operationId: 'revokeFarmKey',
        summary: 'Revoke a key of a farm',
        description: 'From now on it opens nothing.',
        tags,
        params: farmKeyParams,
        response: { 204: nothing.describe('Revoked') },
      },
    },
    async (request, reply) => {
      await revokeKey(deps, asker(request), request.params.farmId, request.params.keyId);
      return reply.code(204).send(undefined);
    },
  );
};

const operatorKeyRoutes = (app: App, deps: HttpDeps): void => {
  app.post(
    '/v1/keys',
    {
      config: { role: 'operator' },
      schema: {
        operationId: 'createKey',
        summary: 'Make an operator key',
        description: MAKING,
        tags,
        body: operatorKeyRequest,
        response: { 201: keyMade.describe('The key, once') },
      },
    },
    async (request, reply) => {
      assertNoOnce(request);
      const { key, text } = await makeKey(deps, asker(request), wishOf(null, request.body));
      request.made = { id: key.id, role: key.role, label: key.label };
      return reply.code(201).send({ ...keyOf(key), key: text });
    },
  );
  app.get(
    '/v1/keys',
    {
      config: { role: 'operator' },
      schema: {
        operationId: 'listKeys',
        summary: 'List the operator keys',
        description: 'Revoked and expired ones too. No key is shown.',
        tags,
        response: { 200: keyList.describe('The keys') },
      },
    },
    async (request) => ({ items: (await listKeys(deps, asker(request), null)).map(keyOf) }),
  );
  app.delete(
    '/v1/keys/:keyId',
    {
      config: { role: 'operator' },
      schema: {
        operationId: 'revokeKey',
        summary: 'Revoke an operator key',
        description: 'From now on it opens nothing.',
        tags,
        params: keyParams,
        response: { 204: nothing.describe('Revoked') },
      },
    },
    async (request, reply) => {
      await revokeKey(deps, asker(request), null, request.params.keyId);
      return reply.code(204).send(undefined);
    },
  );
};

/** Keys: of a farm by its keepers, of the server by an operator. */
export const keyRoutes = (app: App, deps: HttpDeps): void => {
  farmKeyRoutes(app, deps);
  operatorKeyRoutes(app, deps);
};
