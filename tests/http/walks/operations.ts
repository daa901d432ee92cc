import { readFileSync } from 'node:fs';
import { ids } from '../../../src/http/examples/records.ts';
import { type RecordKind, recordKinds } from '../../../src/service/records/schema.ts';
import { type Role, roles } from '../../../src/store/contract.ts';
import { type StoredFarm, withIds } from '../stored.ts';

type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';
type Json = Readonly<Record<string, unknown>>;
type Shown = {
  readonly operationId: string;
  readonly 'x-role': Role | 'none';
  readonly deprecated?: boolean;
  readonly parameters?: readonly { readonly name: string }[];
  readonly requestBody?: { readonly content: Readonly<Record<string, { readonly example?: Json }>> };
  readonly responses: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, { readonly example?: unknown }>> }>
  >;
};

export type Operation = {
  readonly id: string;
  readonly method: Method;
  readonly path: string;
  readonly role: Role | null;
  readonly shown: Shown;
  /** The example of the document, as JSON. */
  readonly body: Json | undefined;
};

export const document: { readonly paths: Readonly<Record<string, Readonly<Record<string, Shown>>>> } = JSON.parse(
  readFileSync(new URL('../../../openapi/openapi.json', import.meta.url), 'utf8'),
);

/** Every operation of the committed document: a route that is added there is walked, and one that is not fails a test. */
export const operations: readonly Operation[] = Object.entries(document.paths).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, shown]) => ({
    id: shown.operationId,
    method: method.toUpperCase() as Method,
    path,
    role: shown['x-role'] === 'none' ? null : shown['x-role'],
    shown,
    body: shown.requestBody?.content['application/json']?.example,
  })),
);

export const rank = (role: Role): number => roles.indexOf(role);

const kinds = Object.keys(recordKinds) as RecordKind[];

/** The address of an operation on one farm, with ids of the records of that or another. */
export const addressOf = (path: string, farm: StoredFarm, owner: StoredFarm = farm, keyId = '0'.repeat(26)): string => {
  const kind = kinds.find((one) => recordKinds[one].path === path.split('/')[4]);
  return path
    .replace('{farmId}', farm.id)
    .replace('{keyId}', keyId)
    .replace('{part}', 'species')
    .replace('{id}', path.includes('/catalogue/') ? 'waterhemp' : kind === undefined ? '' : owner.ids[kind]);
};

/** The body of the example with a farm's own ids in the place of the example's. */
export const bodyFor = (body: Json | undefined, farm: StoredFarm): Json | undefined =>
  body === undefined ? undefined : withIds(body, farm.ids);

/** Whether the example names a record. */
export const namesRecords = (body: Json | undefined): boolean =>
  kinds.some((kind) => JSON.stringify(body ?? {}).includes(ids[kind]));
