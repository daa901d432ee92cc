import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { root, sources } from './tree.ts';

/** The files under version control; in an unpacked copy, the sources. */
const tracked = (): string[] =>
  existsSync(join(root, '.git'))
    ? execFileSync('git', ['ls-files'], { cwd: root, encoding: 'utf8' })
        .trim()
        .split('\n')
        .filter((file) => existsSync(join(root, file)))
    : [...sources('src'), ...sources('tests')].map(({ path }) => path);

test('the top level holds what was agreed and nothing else', () => {
  const allowed =
    /^(README\.md|DEVELOPERS\.md|LICENSE|package\.json|package-lock\.json|tsconfig(\.build)?\.json|biome\.json|vitest\.config\.ts|src|openapi|tests|fixtures|docker|docs|\..*)$/;
  expect(
    [...new Set(tracked().map((file) => file.split('/')[0] as string))].filter((name) => !allowed.test(name)),
  ).toEqual([]);
});

test('nothing unfinished and no test left out in src and tests', () => {
  const idle = new RegExp(
    ['TO' + 'DO', 'FIX' + 'ME', 'not ' + 'implemented', '\\b(it|test|describe)\\.(only|todo|skip)\\('].join('|'),
  );
  expect(
    [...sources('src'), ...sources('tests')].filter(({ text }) => idle.test(text)).map(({ path }) => path),
  ).toEqual([]);
});

test('no path of a machine and no package host is written down', () => {
  const local = new RegExp(
    [
      '/' + 'work/',
      '/' + 'tmp/',
      '/' + 'home/',
      '/' + 'Users/',
      'C:' + '\\\\',
      'regis' + 'try\\.npmjs',
      'yarn' + 'pkg\\.com',
    ].join('|'),
  );
  expect(tracked().filter((file) => local.test(readFileSync(join(root, file), 'utf8')))).toEqual([]);
});

test('dependencies are pinned, and the lock file names no host', () => {
  const { dependencies, devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  for (const version of Object.values({ ...dependencies, ...devDependencies }))
    expect(version).toMatch(/^\d+\.\d+\.\d+$/);
  expect(readFileSync(join(root, 'package-lock.json'), 'utf8')).not.toContain('"resolved"');
});
