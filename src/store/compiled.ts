import type { Compilable, CompiledQuery, QueryResult } from 'kysely';
import type { Sql } from './tables.ts';

/** Stands in a query for a value that comes with each call. */
class Slot {
  readonly name: PropertyKey;
  constructor(name: PropertyKey) {
    this.name = name;
  }
}

const slots = <V extends object>(): V => new Proxy({} as V, { get: (_, name) => new Slot(name) });

/**
 * A query that is built and compiled once for a database: to do so costs several times what it takes to run. Only its
 * values are new with each call.
 * @param build the query; it may put values in their places, and must not look at them
 * @example const one = compiledOnce((db, value: { id: string }) => db.selectFrom('t').where('id', '=', value.id));
 *   (await one(db, { id: 'a' })).rows
 */
export const compiledOnce = <V extends object, Row>(
  build: (db: Sql, value: V) => Compilable<Row>,
): ((db: Sql, value: V) => Promise<QueryResult<Row>>) => {
  // A transaction is another object than its database, but has its adapter.
  const known = new WeakMap<object, CompiledQuery<Row>>();
  return (db, value) => {
    const { adapter } = db.getExecutor();
    const query = known.get(adapter) ?? build(db, slots<V>()).compile();
    known.set(adapter, query);
    const parameters = query.parameters.map((given) => (given instanceof Slot ? value[given.name as keyof V] : given));
    return db.executeQuery({ ...query, parameters });
  };
};
