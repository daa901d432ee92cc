import type { Compilable, CompiledQuery, QueryResult } from 'kysely';
import type { Sql } from './tables.ts';

const NAME = Symbol('name');
/** Stands in a query for a value that comes with each call. */
type Slot = { readonly [NAME]: PropertyKey };

const slots = <V extends object>(): V => new Proxy({} as V, { get: (_, name): Slot => ({ [NAME]: name }) });

const isSlot = (given: unknown): given is Slot => typeof given === 'object' && given !== null && NAME in given;

/**
 * A query that is built and compiled once for a database: to do so costs several times what it takes to run. Only its
 * values are new with each call.
 * @param build the query; it may put values in their places, and must not look at them
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
    const parameters = query.parameters.map((given) => (isSlot(given) ? value[given[NAME] as keyof V] : given));
    return db.executeQuery({ ...query, parameters });
  };
};
