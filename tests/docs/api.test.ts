import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { root } from '../rules/tree.ts';
import { folderWith } from '../support/files.ts';
import { madeFarm } from '../support/madeFarm.ts';
import { operatorKey, type ServerProcess, startServer } from '../support/serverProcess.ts';
import { differences, matchesText, type Names, named, type Stop, stops } from './tour.ts';

const page = readFileSync(join(root, 'docs/api.md'), 'utf8');
const tour = stops(page);
let server: ServerProcess;
let operator = '';

beforeAll(async () => {
  const store = `sqlite:${folderWith({})}/tour.db`;
  operator = await operatorKey(store);
  server = await startServer({ store });
}, 120_000);
afterAll(() => server?.stop());

/** A body as the page shows it; files are named as curl does: @examples/field.json */
const bodyOf = (body: string, names: Names): string =>
  named(body, names).replace(/@(examples\/[\w.-]+)/g, (_, path: string) =>
    readFileSync(join(root, 'docs', path), 'utf8'),
  );

const faults = async ({ method, path, headers, body, answer }: Stop, names: Names): Promise<string[]> => {
  const sent = Object.entries(headers).map(([name, value]): [string, string] => [name, named(value, names)]);
  const reply = await fetch(server.address + named(path, names), {
    method,
    headers: sent,
    ...(body === '' ? {} : { body: bodyOf(body, names) }),
  });
  const text = await reply.text();
  const wrong = Object.entries(answer.headers)
    .filter(([name, shown]) => !matchesText(reply.headers.get(name) ?? 'none', shown, names))
    .map(([name]) => `${name}: ${reply.headers.get(name)}`);
  const isJson = /^application\/(problem\+)?json/.test(reply.headers.get('content-type') ?? '');
  const shown = isJson && answer.body !== '' ? JSON.parse(answer.body) : answer.body;
  return [
    ...(reply.status === answer.status ? [] : [`status ${reply.status}: ${text}`]),
    ...wrong,
    ...differences(isJson && text !== '' ? JSON.parse(text) : text.trimEnd(), shown, names),
  ];
};

describe('docs/api.md', () => {
  const names: Names = new Map();
  beforeAll(() => {
    names.set('operator key', operator);
  });

  test('has a tour to run', () => {
    expect(tour.length).toBeGreaterThan(15);
  });

  test.each(tour.map((stop, i) => [i + 1, stop.method, stop.path, stop] as const))(
    '%i: %s %s answers as the page shows',
    async (_, __, ___, stop) => {
      expect(await faults(stop, names)).toEqual([]);
    },
  );
});

describe('docs/examples/tomorrow.sh', () => {
  const script = join(root, 'docs/examples/tomorrow.sh');
  const run = (args: readonly string[], key: string) =>
    promisify(execFile)('sh', [script, ...args], { env: { PATH: process.env.PATH, WHITETHREAD_KEY: key } });

  test('prints tomorrow as text', async () => {
    const farm = await madeFarm(server.address, operator);
    const { stdout } = await run([server.address, farm.farmId, '2026-05-12'], farm.key);
    expect(stdout).toContain('Gate Field');
    expect(stdout).toContain('rotary hoe');
  });

  test('fails and shows the problem where the key is wrong', async () => {
    await expect(run([server.address, '0k3v8xq2m4h7t1ab'], 'wt_wrong')).rejects.toMatchObject({
      code: 22,
      stdout: expect.stringContaining('unauthenticated'),
    });
  });
});
