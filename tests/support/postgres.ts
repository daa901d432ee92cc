import { randomBytes } from 'node:crypto';
import pg from 'pg';

/** Where the tests' PostgreSQL is; undefined where there is none. `.ci/postgres start FOLDER` makes one. */
export const postgresAddress = process.env.WHITETHREAD_TEST_POSTGRES;

const asked = async (address: string, sql: string): Promise<void> => {
  const client = new pg.Client({ connectionString: address });
  await client.connect();
  try {
    await client.query(sql);
  } finally {
    await client.end();
  }
};

export type EmptyDatabase = { readonly store: string; readonly drop: () => Promise<void> };

/** A new database on that server, and how to be rid of it. */
export const emptyDatabase = async (address: string): Promise<EmptyDatabase> => {
  const name = `t${randomBytes(8).toString('hex')}`;
  await asked(address, `CREATE DATABASE ${name}`);
  const store = new URL(address);
  store.pathname = `/${name}`;
  return { store: store.href, drop: () => asked(address, `DROP DATABASE ${name} WITH (FORCE)`) };
};
