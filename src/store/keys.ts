import { compiledOnce } from './compiled.ts';
import type { Key } from './contract.ts';
import type { Sql } from './tables.ts';

const keyColumns = [
  'id',
  'farm_id as farmId',
  'role',
  'label',
  'secret_hash as secretHash',
  'created_at_ms as createdAtMs',
  'expires_at_ms as expiresAtMs',
  'revoked_at_ms as revokedAtMs',
] as const;

const keyWith = compiledOnce((db, { id }: Pick<Key, 'id'>) =>
  db.selectFrom('api_keys').select(keyColumns).where('id', '=', id),
);

/** The key with an id, or null. */
export const keyOf = async (db: Sql, id: string): Promise<Key | null> => (await keyWith(db, { id })).rows[0] ?? null;

const ofFarm = (farmId: string | null) => ({ farm_id: farmId });

/** Keys of a farm, or of the operators for null, in the order in which they were made. */
export const keysOf = (db: Sql, farmId: string | null): Promise<readonly Key[]> =>
  db
    .selectFrom('api_keys')
    .select(keyColumns)
    .where('farm_id', farmId === null ? 'is' : '=', farmId)
    .orderBy('created_at_ms')
    .orderBy('id')
    .execute();

/** Adds a key. */
export const keyAdded = async (trx: Sql, key: Key): Promise<void> => {
  await trx
    .insertInto('api_keys')
    .values({
      id: key.id,
      ...ofFarm(key.farmId),
      role: key.role,
      label: key.label,
      secret_hash: key.secretHash,
      created_at_ms: key.createdAtMs,
      expires_at_ms: key.expiresAtMs,
      revoked_at_ms: key.revokedAtMs,
    })
    .execute();
};

/** Ends a key, or every key of a farm; one that has ended keeps its instant. Gives how many keys were meant. */
export const keysRevoked = async (trx: Sql, farmId: string | null, atMs: number, id?: string): Promise<number> => {
  const { numUpdatedRows } = await trx
    .updateTable('api_keys')
    .set(({ fn, ref, val }) => ({ revoked_at_ms: fn.coalesce(ref('revoked_at_ms'), val(atMs)) }))
    .where('farm_id', farmId === null ? 'is' : '=', farmId)
    .$if(id !== undefined, (query) => query.where('id', '=', id ?? ''))
    .executeTakeFirst();
  return Number(numUpdatedRows);
};
