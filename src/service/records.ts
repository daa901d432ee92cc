import { type Problem, whitethreadError } from '../core/base/errors.ts';
import {
  ALL_FARMS,
  type Check,
  type Created,
  type Entry,
  FARM,
  type Once,
  type Page,
  type Row,
  type Store,
} from '../store/contract.ts';
import type { Meant } from '../store/meant.ts';
import { contentProblems } from './content.ts';
import type { Deps, Who } from './contract.ts';
import { newId } from './id.ts';
import { assertNoFieldNames } from './inUse.ts';
import { mayI } from './keys.ts';
import { type FarmRecord, type PassRecord, type RecordKind, recordKinds } from './records/schema.ts';
import { stillThere } from './references.ts';

type Data = Readonly<Record<string, unknown>> | object;

const absent = (kind: string, id: string) => {
  const allowed = kind === FARM ? 'a farm of this server' : `a ${kind} that this farm has`;
  return whitethreadError([{ code: 'not-found', where: kind, given: id, allowed }]);
};

const stampOf = (deps: Deps, who: Who) => ({ keyId: who.keyId, atMs: deps.nowMs() });

/** Plantings, passes and counts belong to their field. */
const parentOf = (data: Data): string | null => ('fieldId' in data ? (data as PassRecord).fieldId : null);

const rowOf = (farmId: string, kind: string, id: string, data: Data) => ({
  farmId,
  kind,
  id,
  parentId: parentOf(data),
  text: JSON.stringify(data),
});

/**
 * One of a farm's records.
 * @throws WhitethreadError 'not-found'
 */
export const readRecord = async (
  { store }: { readonly store: Pick<Store, 'read'> },
  farmId: string,
  kind: RecordKind | typeof FARM,
  id: string,
): Promise<Row> => {
  const row = await store.read(farmId, kind, id);
  if (row === null) throw absent(kind, id);
  return row;
};

/** The farm's own row. @throws WhitethreadError 'not-found' */
export const readFarmRow = (deps: Pick<Deps, 'store'>, farmId: string): Promise<Row> =>
  readRecord(deps, farmId, FARM, farmId);

/** The farm's own record. @throws WhitethreadError 'not-found' */
export const readFarm = async (deps: Pick<Deps, 'store'>, farmId: string): Promise<FarmRecord> =>
  JSON.parse((await readFarmRow(deps, farmId)).text) as FarmRecord;

/** A page of records of a kind, of one field where one is named. @throws WhitethreadError 'not-found' without such a farm */
export const listRecords = async (
  deps: Pick<Deps, 'store'>,
  farmId: string,
  kind: RecordKind,
  page: Page,
  fieldId?: string,
): Promise<readonly Row[]> => {
  await readFarmRow(deps, farmId);
  return deps.store.list(farmId, kind, page, fieldId);
};

/**
 * Refuses a record with everything that is wrong with it beside its form, and after the faults of that.
 * @throws WhitethreadError as `createRecord`
 */
export const assertSound = async (
  deps: Deps,
  farmId: string,
  kind: RecordKind,
  data: Data,
  before: object | null,
  faults: readonly Problem[] = [],
): Promise<void> => {
  const farm = await readFarm(deps, farmId);
  const problems = [...faults, ...(await contentProblems(deps, farmId, farm, kind, data, before))];
  if (problems.length > 0) throw whitethreadError(problems);
};

/**
 * Keeps a new record.
 * @param data checked against the schema of its kind
 * @throws WhitethreadError 'forbidden', 'not-found', 'invalid-input', unknown names, 'replay-mismatch'
 */
export const createRecord = async (
  deps: Deps,
  who: Who,
  farmId: string,
  kind: RecordKind,
  data: Data,
  once?: Once,
): Promise<Created> => {
  mayI(who, recordKinds[kind].writer, farmId);
  // Before anything else: what was right then need not be now, as a record that it names may be gone.
  const made = once === undefined ? null : await deps.store.replay(once);
  if (made !== null) return { row: made, replayed: true };
  await assertSound(deps, farmId, kind, data, null);
  const row = rowOf(farmId, kind, newId(deps.nowMs()), data);
  return deps.store.create(row, stampOf(deps, who), once, stillThere(farmId, kind, data, null));
};

/** Puts a record in the place of the version that is meant. @throws as `createRecord`, and 'version-conflict' */
export const changeRecord = async (
  deps: Deps,
  who: Who,
  farmId: string,
  kind: RecordKind,
  id: string,
  meant: Meant,
  data: Data,
): Promise<Row> => {
  mayI(who, recordKinds[kind].writer, farmId);
  const before = JSON.parse((await readRecord(deps, farmId, kind, id)).text) as object;
  await assertSound(deps, farmId, kind, data, before);
  const check = stillThere(farmId, kind, data, before);
  return deps.store.change(rowOf(farmId, kind, id, data), meant, stampOf(deps, who), check);
};

/**
 * Takes a record away; what names it stays for the certifier.
 * @throws WhitethreadError 'forbidden', 'not-found', 'version-conflict', 'in-use' for a station that fields name
 */
export const removeRecord = async (
  deps: Deps,
  who: Who,
  farmId: string,
  kind: RecordKind,
  id: string,
  meant: Meant,
): Promise<void> => {
  mayI(who, recordKinds[kind].writer, farmId);
  const check: Check | undefined = kind === 'station' ? (inside) => assertNoFieldNames(inside, farmId, id) : undefined;
  await deps.store.remove(farmId, kind, id, meant, stampOf(deps, who), check);
};

/** Adds a farm. @throws WhitethreadError 'forbidden', 'not-found', 'replay-mismatch' */
export const createFarm = async (deps: Deps, who: Who, data: Data, once?: Once): Promise<Created> => {
  mayI(who, 'operator', null);
  const id = newId(deps.nowMs());
  return deps.store.create(rowOf(id, FARM, id, data), stampOf(deps, who), once);
};

/** All farms for an operator, its own for anyone else. */
export const listFarms = async ({ store }: Deps, who: Who, page: Page): Promise<readonly Row[]> => {
  if (who.farmId === null) return store.list(ALL_FARMS, FARM, page);
  const row = await store.read(who.farmId, FARM, who.farmId);
  return row === null || (page.after !== null && row.id <= page.after) ? [] : [row];
};

/** @throws WhitethreadError 'forbidden', 'not-found', 'version-conflict' */
export const changeFarm = async (deps: Deps, who: Who, farmId: string, meant: Meant, data: Data): Promise<Row> => {
  mayI(who, 'keeper', farmId);
  return deps.store.change(rowOf(farmId, FARM, farmId, data), meant, stampOf(deps, who));
};

/** Takes a farm away with all it keeps; its keys open nothing any more. @throws as `changeFarm` */
export const removeFarm = async (deps: Deps, who: Who, farmId: string, meant: Meant): Promise<void> => {
  mayI(who, 'operator', farmId);
  await deps.store.remove(farmId, FARM, farmId, meant, stampOf(deps, who));
};

/** Who changed what when, oldest first; also of what is gone. `cursor` is the number of the last entry seen. */
export const farmHistory = async (
  deps: Pick<Deps, 'store'>,
  farmId: string,
  query: {
    readonly cursor?: number | undefined;
    readonly limit: number;
    readonly kind?: string | undefined;
    readonly id?: string | undefined;
  },
): Promise<readonly Entry[]> => {
  await readFarmRow(deps, farmId);
  const { cursor, limit, kind, id } = query;
  return deps.store.history(farmId, {
    after: cursor ?? null,
    limit,
    ...(kind === undefined ? {} : { kind }),
    ...(id === undefined ? {} : { id }),
  });
};
