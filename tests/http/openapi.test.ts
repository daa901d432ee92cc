import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { tidy } from '../../src/http/examples/outlook.ts';
import { type Stored, storedApp } from './stored.ts';
import { holder } from './walks/held.ts';
import { addressOf, bodyFor, document, operations } from './walks/operations.ts';
import { openapiFile, openapiText } from './writeOpenapi.ts';

test('the committed document is the one that the routes give; `npm run openapi` writes it', async () => {
  expect(readFileSync(openapiFile, 'utf8')).toBe(await openapiText());
});

test('the linter finds nothing', () => {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const args = ['lint', '--config', 'tests/http/redocly.yaml', 'openapi/openapi.json'];
  const env = { ...process.env, REDOCLY_TELEMETRY: 'off', REDOCLY_SUPPRESS_UPDATE_NOTICE: 'true' };
  execFileSync(process.execPath, ['node_modules/@redocly/cli/bin/cli.js', ...args], { cwd: root, env, stdio: 'pipe' });
});

/** The routes of the router's own drawing of its tree, four letters a level. */
const routesOf = (tree: string): string[] => {
  const stem: string[] = [];
  return tree.split('\n').flatMap((line) => {
    const [, indent = '', piece = '', methods = ''] = /^([^/*\w]*)(\S+)(?: \((.*)\))?$/.exec(line) ?? [];
    const depth = indent.length / 4 - 1;
    stem.splice(depth, stem.length, piece);
    const path = stem
      .slice(0, depth + 1)
      .join('')
      .replace(/:(\w+)/g, '{$1}');
    return methods
      .split(', ')
      .flatMap((method) => (/^(GET|POST|PUT|PATCH|DELETE)$/.test(method) ? [`${method} ${path}`] : []));
  });
};

describe('operations', () => {
  let stored: Stored;
  beforeAll(async () => {
    stored = await storedApp({}, { nowMs: () => Date.parse('2026-05-19T12:00:00Z') });
  });
  afterAll(() => stored.close());

  test('what is served is what is documented, both ways', () => {
    const served = routesOf(stored.app.printRoutes({ commonPrefix: false })).filter(
      (route) => !route.includes(' /docs'),
    );
    expect(served.sort()).toEqual(operations.map(({ method, path }) => `${method} ${path}`).sort());
  });

  test('each has a name of its own, words, examples of its JSON, and problems only as problems', () => {
    expect(new Set(operations.map(({ id }) => id)).size).toBe(operations.length);
    const free = ['metrics', 'openapi', 'errors'];
    for (const { id, shown } of operations) {
      expect(shown).toMatchObject({
        summary: expect.any(String),
        description: expect.any(String),
        tags: [expect.any(String)],
      });
      for (const parameter of shown.parameters ?? []) expect(parameter, id).toHaveProperty('description');
      const bodies = Object.entries(shown.requestBody?.content ?? {}).filter(([type]) => type === 'application/json');
      const answers = Object.entries(shown.responses)
        .filter(([status]) => status.startsWith('2'))
        .flatMap(([, { content = {} }]) => Object.entries(content))
        .filter(([type]) => type.includes('json'));
      if (!free.includes(id)) for (const [, media] of [...bodies, ...answers]) expect(media.example, id).toBeDefined();
      for (const [status, response] of Object.entries(shown.responses))
        if (Number(status) >= 400) expect(response).toEqual({ $ref: `#/components/responses/Problem${status}` });
    }
  });

  const sendable = operations.filter(({ body, method }) => body !== undefined && method === 'POST');
  test.each(sendable.map((operation) => [operation.id, operation] as const))(
    'the example of %s is taken',
    async (_, operation) => {
      const [farm] = stored.farms;
      const body = bodyFor(operation.body, farm);
      const answer = await stored.ask('POST', addressOf(operation.path, farm), body === undefined ? {} : { body });
      expect([200, 201]).toContain(answer.statusCode);
    },
  );

  test('the example of a field is answered with the example of an outlook, to six digits', async () => {
    const { body, shown } = operations.find(({ id }) => id === 'outlook') as (typeof operations)[number];
    const answer = await stored.ask('POST', '/v1/outlooks', { body });
    expect(tidy(answer.json())).toEqual(shown.responses['200']?.content?.['application/json']?.example);
  });

  test('every refusal that any operation gave here is documented for it, with its header fields', async () => {
    const [farm] = stored.farms;
    const held = holder(document);
    for (const operation of operations)
      for (const key of [farm.keys.reader, farm.keys.keeper, stored.operator, null])
        for (const headers of [
          {},
          { 'if-match': '"7"' },
          { accept: 'image/png' },
          { 'content-type': 'text/nonsense' },
        ]) {
          const sent = bodyFor(operation.body, farm);
          const own = { key, headers, ...(sent === undefined ? {} : { body: sent }) };
          held(operation, await stored.ask(operation.method, addressOf(operation.path, farm), own));
        }
  });
});

test('the document says OpenAPI 3.1.0 and names no host', () => {
  expect(document).toMatchObject({ openapi: '3.1.0', servers: [{ url: '/' }] });
});
