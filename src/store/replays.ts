import type { Once, Stamp } from './contract.ts';
import { storeRefusal } from './errors.ts';
import type { Place } from './rows.ts';
import type { Sql } from './tables.ts';

/**
 * Whether a request is the first under its name. Of two at once, the later one waits here until the earlier one has ended.
 * @throws WhitethreadError 'replay-mismatch' where the name stands for another request
 */
export const isFirst = async (trx: Sql, once: Once, place: Place, { atMs }: Stamp): Promise<boolean> => {
  const { scope, key, hash } = once;
  const { farmId, kind, id } = place;
  const claim = await trx
    .insertInto('replays')
    .values({ scope, key, hash, farm_id: farmId, kind, id, at_ms: atMs })
    .onConflict((conflict) => conflict.doNothing())
    .executeTakeFirst();
  if (claim.numInsertedOrUpdatedRows === 1n) return true;
  const { hash: known } = await trx
    .selectFrom('replays')
    .select('hash')
    .where('scope', '=', scope)
    .where('key', '=', key)
    .executeTakeFirstOrThrow();
  if (known !== hash)
    throw storeRefusal('replay-mismatch', 'Idempotency-Key', key, 'a new key for a request that is not the same');
  return false;
};

/** Forgets requests made before an instant. */
export const forgotten = async (trx: Sql, before: number): Promise<void> => {
  await trx.deleteFrom('replays').where('at_ms', '<', before).execute();
};
