import pg from 'pg';
import { describe, expect, it } from 'vitest';
import { openPostgres } from '../../src/store/postgres.ts';
import { codeOf, storeContract } from '../contract/store.ts';

const server = process.env.WHITETHREAD_TEST_POSTGRES;

/** An empty database of its own on the server of the tests. */
const emptyDatabase = async (url: string): Promise<string> => {
  const name = `whitethread_${process.pid}_${Date.now()}`;
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query(`create database ${name}`);
  await client.end();
  const address = new URL(url);
  address.pathname = `/${name}`;
  return address.href;
};

if (server === undefined) console.log('PostgreSQL is left out: WHITETHREAD_TEST_POSTGRES names no server.');
else storeContract('PostgreSQL', async () => openPostgres({ url: await emptyDatabase(server) }));

describe('a PostgreSQL that does not answer', () => {
  it('is store-unavailable', async () => {
    expect(await codeOf(openPostgres({ url: 'postgres://nobody@127.0.0.1:1/none' }))).toBe('store-unavailable');
  });
});
