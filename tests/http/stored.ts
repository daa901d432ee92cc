import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { InjectOptions, LightMyRequestResponse } from 'fastify';
import type { App, HttpDeps, HttpOptions } from '../../src/http/contract.ts';
import { exampleField } from '../../src/http/examples/outlook.ts';
import { bodies, ids as exampleIds } from '../../src/http/examples/records.ts';
import { freshKey } from '../../src/service/keys.ts';
import { type RecordKind, recordKinds } from '../../src/service/records/schema.ts';
import type { Role } from '../../src/store/contract.ts';
import { openStore } from '../../src/store/open.ts';
import { statelessApp } from './fakes.ts';

type Json = Readonly<Record<string, unknown>>;
export type Ask = (
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE',
  url: string,
  options?: {
    readonly body?: unknown;
    readonly key?: string | null;
    readonly headers?: Readonly<Record<string, string>>;
  },
) => Promise<LightMyRequestResponse>;

/** A farm with one record of each kind, and a key of each role. */
export type StoredFarm = {
  readonly id: string;
  readonly keys: Readonly<Record<'reader' | 'planner' | 'keeper', string>>;
  readonly ids: Readonly<Record<RecordKind, string>>;
};

export type Stored = {
  readonly app: App;
  readonly deps: HttpDeps;
  /** Where the database lies. */
  readonly folder: string;
  readonly operator: string;
  readonly ask: Ask;
  readonly farms: readonly [StoredFarm, StoredFarm];
  readonly close: () => Promise<void>;
};

const asking =
  (app: App, usual: string): Ask =>
  (method, url, { body, key = usual, headers = {} } = {}) => {
    const options: InjectOptions = {
      method,
      url,
      headers: {
        ...(key === null ? {} : { authorization: `Bearer ${key}` }),
        ...(body === undefined || typeof body === 'string' ? {} : { 'content-type': 'application/json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { payload: typeof body === 'string' ? body : JSON.stringify(body) }),
    };
    return app.inject(options);
  };

const made = async (ask: Ask, url: string, body: Json): Promise<string> => {
  const answer = await ask('POST', url, { body });
  if (answer.statusCode !== 201) throw new Error(`${url}: ${answer.body}`);
  return answer.json().id;
};

/** A body with the ids of records that there are in the place of the example's. */
export const withIds = (body: Json, there: Partial<StoredFarm['ids']>): Json =>
  JSON.parse(
    (Object.keys(there) as RecordKind[]).reduce(
      (text, kind) => text.replaceAll(exampleIds[kind], there[kind] as string),
      JSON.stringify(body),
    ),
  );

/** Fields name their station; every other kind names those before it. */
const kinds: readonly RecordKind[] = [
  ...new Set<RecordKind>(['station', ...(Object.keys(recordKinds) as RecordKind[])]),
];

const storedFarm = async (ask: Ask, deps: HttpDeps, name: string): Promise<StoredFarm> => {
  const id = await made(ask, '/v1/farms', { ...bodies.farm, name });
  const ids = {} as Record<RecordKind, string>;
  for (const kind of kinds) {
    const body = { ...withIds(bodies[kind], ids), ...(kind === 'station' ? { forecast: 'none' } : {}) };
    ids[kind] = await made(ask, `/v1/farms/${id}/${recordKinds[kind].path}`, body);
  }
  await ask('PUT', `/v1/farms/${id}/stations/${ids.station}/weather`, { body: exampleField.weather });
  const key = async (role: Role) => (await freshKey(deps, { farmId: id, role, label: role, expiresAtMs: null })).text;
  const keys = { reader: await key('reader'), planner: await key('planner'), keeper: await key('keeper') };
  return { id, keys, ids };
};

/** A server on a database of its own with two farms, and a way to ask it, as the operator where no key is named. */
export const storedApp = async (
  options: Partial<HttpOptions> = {},
  changed: Partial<HttpDeps> = {},
): Promise<Stored> => {
  const folder = mkdtempSync(join(tmpdir(), 'whitethread-http-'));
  const store = await openStore(`sqlite:${join(folder, 'farms.db')}`);
  const app = await statelessApp({ store, ...changed }, options);
  const deps = { store, nowMs: Date.now, ...changed } as HttpDeps;
  const wish = { farmId: null, role: 'operator', label: 'test', expiresAtMs: null } as const;
  const operator = (await freshKey(deps, wish)).text;
  const ask = asking(app, operator);
  const farms = [await storedFarm(ask, deps, 'First'), await storedFarm(ask, deps, 'Second')] as const;
  const close = async () => {
    await app.close();
    await store.close();
    rmSync(folder, { recursive: true });
  };
  return { app, deps, folder, operator, ask, farms: [...farms], close };
};
