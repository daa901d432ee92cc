import { type Kysely, type Migration, Migrator, sql } from 'kysely';
import { FARM } from './contract.ts';
import { storeRefusal } from './errors.ts';
import type { Sql, Traits } from './tables.ts';

const VERSIONS = 'schema_version';
const LOCK = 'schema_lock';

/** The first form of the database. A migration that was released never changes. */
const first = ({ text, counter }: Traits): Migration => ({
  up: async (db: Kysely<unknown>) => {
    const string = sql.raw<string>(text);
    const { schema } = db;
    await schema
      .createTable('records')
      .addColumn('farm_id', string, (column) => column.notNull())
      .addColumn('kind', string, (column) => column.notNull())
      .addColumn('id', string, (column) => column.notNull())
      .addColumn('parent_id', string)
      .addColumn('version', 'integer', (column) => column.notNull())
      .addColumn('created_at_ms', 'bigint', (column) => column.notNull())
      .addColumn('changed_at_ms', 'bigint', (column) => column.notNull())
      .addColumn('text', 'text', (column) => column.notNull())
      .addPrimaryKeyConstraint('records_key', ['farm_id', 'kind', 'id'])
      .addCheckConstraint('records_farm', sql`kind <> ${sql.lit(FARM)} or farm_id = id`)
      .execute();
    await schema.createIndex('records_parent').on('records').columns(['farm_id', 'kind', 'parent_id', 'id']).execute();
    await schema.createIndex('records_kind').on('records').columns(['kind', 'id']).execute();
    await schema
      .createTable('history')
      .addColumn('seq', counter, (column) =>
        counter === 'integer' ? column.primaryKey().autoIncrement() : column.primaryKey().generatedAlwaysAsIdentity(),
      )
      .addColumn('farm_id', string, (column) => column.notNull())
      .addColumn('kind', string, (column) => column.notNull())
      .addColumn('id', string, (column) => column.notNull())
      .addColumn('parent_id', string)
      .addColumn('version', 'integer', (column) => column.notNull())
      .addColumn('action', 'text', (column) => column.notNull())
      .addColumn('key_id', string, (column) => column.notNull())
      .addColumn('at_ms', 'bigint', (column) => column.notNull())
      .addColumn('text', 'text')
      .execute();
    await schema.createIndex('history_farm').on('history').columns(['farm_id', 'seq']).execute();
    await schema.createIndex('history_record').on('history').columns(['farm_id', 'kind', 'id', 'seq']).execute();
    await schema
      .createTable('replays')
      .addColumn('scope', string, (column) => column.notNull())
      .addColumn('key', string, (column) => column.notNull())
      .addColumn('hash', string, (column) => column.notNull())
      .addColumn('farm_id', string, (column) => column.notNull())
      .addColumn('kind', string, (column) => column.notNull())
      .addColumn('id', string, (column) => column.notNull())
      .addColumn('at_ms', 'bigint', (column) => column.notNull())
      .addPrimaryKeyConstraint('replays_key', ['scope', 'key'])
      .execute();
    await schema.createIndex('replays_age').on('replays').column('at_ms').execute();
    await schema
      .createTable('api_keys')
      .addColumn('id', string, (column) => column.primaryKey())
      .addColumn('farm_id', string)
      .addColumn('role', 'text', (column) => column.notNull())
      .addColumn('label', 'text', (column) => column.notNull())
      .addColumn('secret_hash', 'text', (column) => column.notNull())
      .addColumn('created_at_ms', 'bigint', (column) => column.notNull())
      .addColumn('expires_at_ms', 'bigint')
      .addColumn('revoked_at_ms', 'bigint')
      .execute();
    await schema.createIndex('api_keys_farm').on('api_keys').columns(['farm_id', 'created_at_ms', 'id']).execute();
  },
});

/** Answers of weather sources outlast a restart. */
const second = ({ text }: Traits): Migration => ({
  up: async (db: Kysely<unknown>) => {
    const string = sql.raw<string>(text);
    await db.schema
      .createTable('source_answers')
      .addColumn('source', string, (column) => column.notNull())
      .addColumn('place', string, (column) => column.notNull())
      .addColumn('fetched_at_ms', 'bigint', (column) => column.notNull())
      .addColumn('text', 'text', (column) => column.notNull())
      .addPrimaryKeyConstraint('source_answers_key', ['source', 'place'])
      .execute();
    await db.schema
      .createIndex('source_answers_age')
      .on('source_answers')
      .columns(['source', 'fetched_at_ms', 'place'])
      .execute();
  },
});

/** Every form that the database has had, oldest first, by a name that sorts. */
export const migrations = (traits: Traits): Readonly<Record<string, Migration>> => ({
  '0001': first(traits),
  '0002': second(traits),
});

/** The form that this program reads and writes. */
export const schemaVersion = '0002';

/**
 * The form that a database has; null where it is empty.
 * @throws WhitethreadError 'store-version' where it was made by a newer program or another one
 */
export const formOf = async (db: Sql): Promise<string | null> => {
  const tables = (await db.introspection.getTables({ withInternalKyselyTables: true })).map(({ name }) => name);
  if (tables.length === 0) return null;
  const allowed = `version ${schemaVersion} or before`;
  if (!tables.includes(VERSIONS))
    throw storeRefusal('store-version', 'database', `tables of another program (${tables[0]})`, allowed);
  const { rows } = await sql<{ name: string }>`select name from ${sql.table(VERSIONS)} order by name desc`.execute(db);
  const newest = rows[0]?.name ?? '';
  if (newest > schemaVersion) throw storeRefusal('store-version', 'database', `version ${newest}`, allowed);
  return newest;
};

/**
 * Brings a database to the form of this program, or to an earlier one.
 * @throws WhitethreadError 'store-version' where it was made by a newer program or another one
 */
export const migrate = async (db: Sql, traits: Traits, to = schemaVersion): Promise<void> => {
  await formOf(db);
  const migrator = new Migrator({
    db,
    provider: { getMigrations: async () => ({ ...migrations(traits) }) },
    migrationTableName: VERSIONS,
    migrationLockTableName: LOCK,
  });
  const { error } = await migrator.migrateTo(to);
  if (error === undefined) return;
  // A dump that was restored over a newer form leaves what that had more: the step that makes it finds it there.
  if (/already exists/.test(String(error)))
    throw storeRefusal('store-version', 'database', `${String(error)}`, 'a database of one form', error, REBUILD);
  throw error;
};

const REBUILD =
  'A backup was restored over a newer form: make an empty database, restore the backup into it, start again';

/** Resolves when the database answers from its own pages. */
export const touched = async (db: Sql): Promise<void> => {
  await sql`select name from ${sql.table(VERSIONS)} limit 1`.execute(db);
};
