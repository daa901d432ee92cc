import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chapters, complaints, outsideClient, storyEnds, storyTold } from '../story/told.ts';
import { caller } from '../support/api.ts';
import { folderWith } from '../support/files.ts';
import { operatorKey, ran, type ServerProcess, startServer } from '../support/serverProcess.ts';

describe('a client of another house, generated from openapi/openapi.json', () => {
  const folder = folderWith({});
  const store = `sqlite:${join(folder, 'whitethread.db')}`;
  let client = '';
  let key = '';
  let server: ServerProcess;

  beforeAll(async () => {
    client = await outsideClient();
    key = await operatorKey(store);
    server = await startServer({ store });
  }, 120_000);
  afterAll(() => {
    server?.process.kill('SIGKILL');
    storyEnds();
  });

  test('is written against the generated types without a complaint of the compiler', async () => {
    expect(await complaints(client)).toBe('');
  });

  test('goes through a season against a server that runs', async () => {
    expect(await storyTold(server.address, key, client)).toEqual(chapters);
  });

  test('a backup is taken while the server runs, and a server on the copy knows the farm', async () => {
    const copy = join(folder, 'copy.db');
    await ran(['backup', '--store', store, '--to', copy]);
    expect(statSync(copy).size).toBeGreaterThan(0);
    const second = await startServer({ store: `sqlite:${copy}` });
    const farms = async (address: string) => (await caller(address, key)('GET', '/v1/farms')).text;
    expect(await farms(second.address)).toBe(await farms(server.address));
    expect(await farms(second.address)).toContain('Plumbline Hollow');
    expect(await second.stop()).toBe(0);
  });

  test('at SIGTERM the server ends with code 0 and leaves a database of one file', async () => {
    expect(await server.stop('SIGTERM')).toBe(0);
    expect(existsSync(join(folder, 'whitethread.db'))).toBe(true);
    expect(existsSync(join(folder, 'whitethread.db-wal'))).toBe(false);
  });
});
