import type { Once, Stamp } from './contract.ts';
import { storeRefusal } from './errors.ts';
import type { Place } from './rows.ts';
import type { Sql } from './tables.ts';

/** Whether a request came before. @throws WhitethreadError 'replay-mismatch' where its name stands for another request */
export const isRepeated = async (db: Sql, { scope, key, hash }: Once): Promise<boolean> => {
  const known = await db
    .selectFrom('replays')
    .select('hash')
    .where('scope', '=', scope)
    .where('key', '=', key)
    .executeTakeFirst();
  if (known === undefined) return false;
  if (known.hash !== hash)
    throw storeRefusal('replay-mismatch', 'Idempotency-Key', key, 'a new key for a request that is not the same');
  return true;
};

/**
 * Whether a request is the first under its name. Of two at once, the later one waits here until the earlier one has ended.
 * @throws WhitethreadError as `isRepeated`
 */
export const isFirst = async (trx: Sql, once: Once, place: Place, { atMs }: Stamp): Promise<boolean> => {
  const { scope, key, hash } = once;
  const { farmId, kind, id } = place;
  const claim = await trx
    .insertInto('replays')
    .values({ scope, key, hash, farm_id: farmId, kind, id, at_ms: atMs })
    .onConflict((conflict) => conflict.doNothing())
    .executeTakeFirst();
  return claim.numInsertedOrUpdatedRows === 1n || !(await isRepeated(trx, once));
};

/** Forgets requests made before an instant. */
export const forgotten = async (trx: Sql, before: number): Promise<void> => {
  await trx.deleteFrom('replays').where('at_ms', '<', before).execute();
};
