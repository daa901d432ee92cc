import { compiledOnce } from './compiled.ts';
import { ALL_FARMS, FARM, type NewRow, type Page, type Row } from './contract.ts';
import { storeRefusal } from './errors.ts';
import { isMeant, type Meant, meantText } from './meant.ts';
import { placesWithin, textBytes } from './pages.ts';
import type { Sql } from './tables.ts';

/** Columns of a row under the names of the contract. */
export const rowColumns = [
  'farm_id as farmId',
  'kind',
  'id',
  'parent_id as parentId',
  'text',
  'version',
  'created_at_ms as createdAtMs',
  'changed_at_ms as changedAtMs',
] as const;

export type Place = Pick<NewRow, 'farmId' | 'kind' | 'id'>;

const rowWith = compiledOnce((db, { farmId, kind, id }: Place) =>
  db
    .selectFrom('records')
    .select(rowColumns)
    .where('farm_id', '=', farmId)
    .where('kind', '=', kind)
    .where('id', '=', id),
);

/** One row of a farm, or null. */
export const rowOf = async (db: Sql, farmId: string, kind: string, id: string): Promise<Row | null> =>
  (await rowWith(db, { farmId, kind, id })).rows[0] ?? null;

/** A page of a farm's rows of one kind; of the farms themselves for ALL_FARMS. */
export const rowsOf = (
  db: Sql,
  farmId: string,
  kind: string,
  { after, limit }: Page,
  parentId?: string,
): Promise<readonly Row[]> => {
  const isFarms = farmId === ALL_FARMS && kind === FARM;
  const ofKind = db
    .selectFrom('records')
    .where('kind', '=', kind)
    .$if(!isFarms, (query) => query.where('farm_id', '=', farmId));
  const asked = ofKind
    .select(['id as place', textBytes])
    .$if(parentId !== undefined, (query) => query.where('parent_id', '=', parentId ?? ''))
    .$if(after !== null, (query) => query.where('id', '>', after ?? ''))
    .orderBy('id')
    .limit(limit);
  return ofKind.select(rowColumns).where('id', 'in', placesWithin(asked)).orderBy('id').execute();
};

const versionWith = compiledOnce((db, { farmId, kind, id }: Place) =>
  db
    .selectFrom('records')
    .select(['version', 'created_at_ms as createdAtMs'])
    .where('farm_id', '=', farmId)
    .where('kind', '=', kind)
    .where('id', '=', id),
);

/**
 * The row that a change is meant for, without its text.
 * @throws WhitethreadError 'not-found', 'version-conflict'
 */
export const rowAt = async (trx: Sql, place: Place, meant: Meant): Promise<Pick<Row, 'version' | 'createdAtMs'>> => {
  const { kind, id } = place;
  const [row] = (await versionWith(trx, place)).rows;
  if (row === undefined) throw storeRefusal('not-found', kind, `id ${id}`, 'an id that the farm has');
  if (!isMeant(meant, row.version))
    throw storeRefusal('version-conflict', kind, meantText(meant), `the version that stands, ${row.version}`);
  return row;
};

/** Puts a row in the place of its earlier version. */
export const rowChanged = compiledOnce((db, { farmId, kind, id, parentId, text, version, changedAtMs }: Row) =>
  db
    .updateTable('records')
    .set({ parent_id: parentId, text, version, changed_at_ms: changedAtMs })
    .where('farm_id', '=', farmId)
    .where('kind', '=', kind)
    .where('id', '=', id),
);

/** Adds a row; where its id is taken, none is affected. */
export const rowAdded = compiledOnce((db, row: Row) =>
  db
    .insertInto('records')
    .values({
      farm_id: row.farmId,
      kind: row.kind,
      id: row.id,
      parent_id: row.parentId,
      text: row.text,
      version: row.version,
      created_at_ms: row.createdAtMs,
      changed_at_ms: row.changedAtMs,
    })
    .onConflict((conflict) => conflict.doNothing()),
);

/** Rows that go when a row is taken away: the row, or everything of the farm. */
export const rowsUnder = ({ farmId, kind, id }: Place) =>
  kind === FARM ? { farm_id: farmId } : { farm_id: farmId, kind, id };
