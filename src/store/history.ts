import { sql } from 'kysely';
import { compiledOnce } from './compiled.ts';
import type { Entry, HistoryPage, Once, Row, Stamp } from './contract.ts';
import { placesWithin, textBytes } from './pages.ts';
import type { Place } from './rows.ts';
import type { Sql } from './tables.ts';

const entryAdded = compiledOnce((db, entry: Row & Stamp & Pick<Entry, 'action'>) => {
  const { farmId, kind, id, parentId, version, text, action, keyId, atMs } = entry;
  return db
    .insertInto('history')
    .values({ farm_id: farmId, kind, id, parent_id: parentId, version, text, action, key_id: keyId, at_ms: atMs });
});

/** Writes down that a row was made or changed. */
export const noted = async (trx: Sql, row: Row, action: 'create' | 'change', stamp: Stamp): Promise<void> => {
  await entryAdded(trx, { ...row, ...stamp, action });
};

/** Writes down that a row is taken away: one version beyond the last. */
export const notedRemoval = async (trx: Sql, { farmId, kind, id }: Place, { keyId, atMs }: Stamp): Promise<void> => {
  await trx
    .insertInto('history')
    .columns(['farm_id', 'kind', 'id', 'parent_id', 'version', 'action', 'key_id', 'at_ms', 'text'])
    .expression((build) =>
      build
        .selectFrom('records')
        .select(['farm_id', 'kind', 'id', 'parent_id'])
        .select([
          sql<number>`version + 1`.as('version'),
          sql<'remove'>`'remove'`.as('action'),
          sql<string>`cast(${keyId} as text)`.as('key_id'),
          sql<number>`cast(${atMs} as bigint)`.as('at_ms'),
          sql<null>`cast(null as text)`.as('text'),
        ])
        .where('farm_id', '=', farmId)
        .where('kind', '=', kind)
        .where('id', '=', id),
    )
    .execute();
};

/** Takes a farm's history away, and what was answered to requests for it. */
export const historyGone = async (trx: Sql, farmId: string): Promise<void> => {
  // An answer is told again from the history.
  await trx.deleteFrom('replays').where('farm_id', '=', farmId).execute();
  await trx.deleteFrom('history').where('farm_id', '=', farmId).execute();
};

/** A page of what was done in a farm. */
export const entriesOf = (db: Sql, farmId: string, page: HistoryPage): Promise<readonly Entry[]> => {
  const asked = db
    .selectFrom('history')
    .select(['seq as place', textBytes])
    .where('farm_id', '=', farmId)
    .$if(page.kind !== undefined, (query) => query.where('kind', '=', page.kind ?? ''))
    .$if(page.id !== undefined, (query) => query.where('id', '=', page.id ?? ''))
    .$if(page.after !== null, (query) => query.where('seq', '>', page.after ?? 0))
    .orderBy('seq')
    .limit(page.limit);
  return db
    .selectFrom('history')
    .select(['seq', 'kind', 'id', 'version', 'action', 'key_id as keyId', 'at_ms as atMs', 'text'])
    .where('seq', 'in', placesWithin(asked))
    .orderBy('seq')
    .execute();
};

/** The row of a request that came before, as it was made then, whatever became of it. */
export const rowAsMade = async (trx: Sql, { scope, key }: Once): Promise<Row> =>
  trx
    .selectFrom('history')
    .innerJoin('replays', (join) =>
      join
        .onRef('replays.farm_id', '=', 'history.farm_id')
        .onRef('replays.kind', '=', 'history.kind')
        .onRef('replays.id', '=', 'history.id')
        .onRef('replays.at_ms', '=', 'history.at_ms'),
    )
    .select(['history.farm_id as farmId', 'history.kind', 'history.id', 'parent_id as parentId', 'version'])
    .select(['history.at_ms as createdAtMs', 'history.at_ms as changedAtMs'])
    .select(sql<string>`text`.as('text'))
    .where('scope', '=', scope)
    .where('replays.key', '=', key)
    .where('action', '=', 'create')
    .orderBy('seq')
    .executeTakeFirstOrThrow();
