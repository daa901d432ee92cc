import {
  type Check,
  type Created,
  FARM,
  type Inside,
  type NewRow,
  type Once,
  type Row,
  type Stamp,
  type Store,
} from './contract.ts';
import { storeRefusal, translated } from './errors.ts';
import { entriesOf, historyGone, noted, notedRemoval, rowAsMade } from './history.ts';
import { keyAdded, keyOf, keysOf, keysRevoked } from './keys.ts';
import type { Meant } from './meant.ts';
import { touched } from './migrations.ts';
import { forgotten, isFirst, isRepeated } from './replays.ts';
import { type Place, rowAdded, rowAt, rowChanged, rowOf, rowsOf, rowsUnder } from './rows.ts';
import { answerKept, answerOf } from './sourceAnswers.ts';
import type { Sql, Traits } from './tables.ts';
import type { Write } from './together.ts';

/**
 * Holds a farm against other writers until the transaction ends, so that its history grows in the order of its entries and
 * nothing is written into a farm that is being taken away.
 * @throws WhitethreadError 'not-found' where there is no such farm
 */
const holdFarm = async (trx: Sql, farmId: string, { rowLocks }: Traits): Promise<void> => {
  const farm = await trx
    .selectFrom('records')
    .select('id')
    .where('farm_id', '=', farmId)
    .where('kind', '=', FARM)
    .where('id', '=', farmId)
    .$if(rowLocks, (query) => query.forUpdate())
    .executeTakeFirst();
  if (farm === undefined) throw storeRefusal('not-found', FARM, `id ${farmId}`, 'a farm that there is');
};

const reading = (db: Sql): Inside => ({
  read: (farmId, kind, id) => translated(rowOf(db, farmId, kind, id)),
  list: (farmId, kind, page, parentId) => translated(rowsOf(db, farmId, kind, page, parentId)),
  history: (farmId, page) => translated(entriesOf(db, farmId, page)),
});

const created = async (
  trx: Sql,
  traits: Traits,
  given: NewRow,
  stamp: Stamp,
  once: Once | undefined,
  check: Check | undefined,
): Promise<Created> => {
  if (once !== undefined && !(await isFirst(trx, once, given, stamp)))
    return { row: await rowAsMade(trx, once), replayed: true };
  const { farmId, kind, id, parentId, text } = given;
  if (kind !== FARM) await holdFarm(trx, farmId, traits);
  await check?.(reading(trx));
  const { atMs } = stamp;
  const row: Row = { farmId, kind, id, parentId, text, version: 1, createdAtMs: atMs, changedAtMs: atMs };
  if ((await rowAdded(trx, row)).numAffectedRows !== 1n)
    throw storeRefusal('version-conflict', kind, `id ${id}, as new`, 'an id that the farm does not have');
  await noted(trx, row, 'create', stamp);
  return { row, replayed: false };
};

const changed = async (
  trx: Sql,
  traits: Traits,
  given: NewRow,
  meant: Meant,
  stamp: Stamp,
  check: Check | undefined,
): Promise<Row> => {
  // Where a transaction holds the whole database, a row that is there shows that its farm is.
  if (traits.rowLocks) await holdFarm(trx, given.farmId, traits);
  const { version, createdAtMs } = await rowAt(trx, given, meant);
  await check?.(reading(trx));
  const { farmId, kind, id, parentId, text } = given;
  const row: Row = {
    farmId,
    kind,
    id,
    parentId,
    text,
    version: version + 1,
    createdAtMs,
    changedAtMs: stamp.atMs,
  };
  await rowChanged(trx, row);
  await noted(trx, row, 'change', stamp);
  return row;
};

const removed = async (
  trx: Sql,
  traits: Traits,
  place: Place,
  meant: Meant,
  stamp: Stamp,
  check: Check | undefined,
): Promise<void> => {
  await holdFarm(trx, place.farmId, traits);
  await rowAt(trx, place, meant);
  await check?.(reading(trx));
  if (place.kind === FARM) await historyGone(trx, place.farmId);
  await notedRemoval(trx, place, stamp);
  await trx
    .deleteFrom('records')
    .where((where) => where.and(rowsUnder(place)))
    .execute();
  if (place.kind === FARM) await keysRevoked(trx, place.farmId, stamp.atMs);
};

/** The store of the contract on either database, which writes in transactions of its kind. */
export const sqlStore = (db: Sql, traits: Traits, transaction: Write): Store => {
  const write: Write = (work) => translated(transaction(work));
  return {
    ...reading(db),
    create: (row, stamp, once, check) => write((trx) => created(trx, traits, row, stamp, once, check)),
    replay: (once) => translated(isRepeated(db, once).then((is) => (is ? rowAsMade(db, once) : null))),
    change: (row, meant, stamp, check) => write((trx) => changed(trx, traits, row, meant, stamp, check)),
    remove: (farmId, kind, id, meant, stamp, check) =>
      write((trx) => removed(trx, traits, { farmId, kind, id }, meant, stamp, check)),
    key: (id) => translated(keyOf(db, id)),
    keys: (farmId) => translated(keysOf(db, farmId)),
    addKey: (key) =>
      write(async (trx) => {
        if (key.farmId !== null) await holdFarm(trx, key.farmId, traits);
        await keyAdded(trx, key);
      }),
    revokeKey: (farmId, id, at) => write(async (trx) => (await keysRevoked(trx, farmId, at, id)) > 0),
    forgetReplays: (before) => write((trx) => forgotten(trx, before)),
    sourceAnswer: (source, place) => translated(answerOf(db, source, place)),
    keepSourceAnswer: (answer, bounds) => write((trx) => answerKept(trx, traits, answer, bounds)),
    generation: null,
    ready: () => translated(touched(db)),
    close: async () => {
      // Writes that wait are done first; whether this one is, is all the same.
      await write(async () => undefined).catch(() => undefined);
      await translated(db.destroy());
    },
  };
};
