import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { root } from '../rules/tree.ts';
import { type Compose, composeFaults, contextPaths, dockerfileFaults } from '../support/images.ts';

const read = (path: string): string => readFileSync(join(root, path), 'utf8');
const dockerfile = read('docker/Dockerfile');
const composeText = read('docker/compose.yaml');
const compose: Compose = parse(composeText, { merge: true });

describe('docker/Dockerfile', () => {
  test('ships production packages alone, as another user than root, with a health check and no secret', () => {
    expect(dockerfileFaults(dockerfile)).toEqual([]);
  });

  test.each([
    ['one stage only: compilers would ship', (text: string) => text.replace(/FROM [\s\S]*?(?=FROM [^\n]*\nENV)/, '')],
    ['an image without a version', (text: string) => text.replace('node:22-bookworm-slim AS', 'node:latest AS')],
    ['the service runs as root', (text: string) => text.replace('USER node', 'USER root')],
    [
      'packages are installed in the stage that ships',
      (text: string) => text.replace('USER node', 'RUN npm i x\nUSER node'),
    ],
    ['no health check by the program itself', (text: string) => text.replace('CMD ["node", "-e"', 'CMD ["curl", "-e"')],
    [
      'the command goes through a shell and hears no signal',
      (text: string) => text.replace(/ENTRYPOINT .*/, 'ENTRYPOINT node dist/main.js'),
    ],
    ['a secret stays in the image', (text: string) => text.replace('ENV ', 'ENV DB_PASSWORD=x ')],
    ['not marked as production', (text: string) => text.replace('NODE_ENV=production', 'NODE_ENV=test')],
  ])('the check finds: %s', (fault, spoiled) => {
    expect(dockerfileFaults(spoiled(dockerfile))).toContain(fault);
  });

  test('copies only what is there, and .dockerignore lets exactly that through', () => {
    const paths = [...new Set(contextPaths(dockerfile))].sort();
    expect(paths.filter((path) => !existsSync(join(root, path)))).toEqual([]);
    const allowed = read('.dockerignore')
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'));
    expect(allowed[0]).toBe('*');
    expect(
      allowed
        .slice(1)
        .map((line) => line.replace(/^!/, ''))
        .sort(),
    ).toEqual(paths);
  });
});

describe('docker/compose.yaml', () => {
  test('every container is closed, bounded, watched and pinned, and the database has no way in from outside', () => {
    expect(composeFaults(compose)).toEqual([]);
  });

  test('two replicas are the same service, reach the database and are reached by the proxy', () => {
    const { 'service-1': one, 'service-2': two, database, proxy } = compose.services;
    expect(one).toEqual(two);
    expect(one?.networks).toEqual(expect.arrayContaining([...(database?.networks ?? []), ...(proxy?.networks ?? [])]));
    expect(proxy?.networks?.some((name) => database?.networks?.includes(name))).toBe(false);
  });

  test.each([
    ['database: in a network with a way out', 'networks: [store]', 'networks: [front]'],
    ["ports open besides the proxy's: database, proxy", 'mem_limit: 1g\n    shm', "ports: ['5432:5432']\n    shm"],
    [
      'database: a secret in the file itself',
      // biome-ignore lint/suspicious/noTemplateCurlyInString: the form that compose reads
      'POSTGRES_PASSWORD: ${POSTGRES_PASSWORD:?set it in docker/.env}',
      'POSTGRES_PASSWORD: hunter2',
    ],
    ['proxy: image without a version', 'caddy:2.10-alpine', 'caddy'],
    ['service-1: may write to its own files', 'read_only: true', 'read_only: false'],
  ])('the check finds: %s', (fault, from, to) => {
    expect(composeText).toContain(from);
    expect(composeFaults(parse(composeText.replace(from, to), { merge: true }))).toContain(fault);
  });

  test('every variable stands in example.env, and none of them has a value that could be left as it is', () => {
    const asked = new Set([...composeText.matchAll(/\$\{(\w+)/g)].map(([, name]) => name));
    const shown = [...read('docker/example.env').matchAll(/^(\w+)=(.*)$/gm)];
    expect(new Set(shown.map(([, name]) => name))).toEqual(asked);
    expect(shown.find(([, name]) => name === 'POSTGRES_PASSWORD')?.[2]).toBe('');
  });
});

describe('docker/Caddyfile', () => {
  const caddyfile = read('docker/Caddyfile');

  test('names both replicas, asks them whether they are ready, and keeps /metrics inside', () => {
    for (const name of ['service-1:8080', 'service-2:8080', 'health_uri /ready', 'respond /metrics 404'])
      expect(caddyfile).toContain(name);
  });

  test('is understood by the proxy itself', (context) => {
    const { status, stderr, error } = spawnSync(
      'caddy',
      ['validate', '--config', join(root, 'docker/Caddyfile'), '--adapter', 'caddyfile'],
      { encoding: 'utf8', env: { ...process.env, WHITETHREAD_SITE: 'hoe.example.org' } },
    );
    if (error !== undefined) {
      console.log('docker/Caddyfile read by the proxy: left out, no caddy here');
      context.skip();
    }
    expect(status, stderr).toBe(0);
  });
});
