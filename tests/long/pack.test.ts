import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));

const USE = `
import { loadCatalogue, type Outlook, outlook } from 'whitethread';
const days = 150;
const answer: Outlook = outlook(
  {
    site: { latitudeDeg: 42, longitudeDeg: -93.8 },
    soil: { texture: 'loam' },
    weather: {
      startDate: '2026-01-01',
      tempMaxC: Array.from({ length: days }, (_, i) => -2 + i / 6 + 3 * Math.sin(i * 1.7)),
      tempMinC: Array.from({ length: days }, (_, i) => -12 + i / 6 + 2 * Math.sin(i * 2.3)),
      rainMm: Array.from({ length: days }, (_, i) => (i % 6 === 0 ? 7 : 0)),
      forecastFrom: '2026-05-12',
    },
    today: '2026-05-12',
    weeds: [{ species: 'giant-foxtail' }],
    implements: [{ id: 'rotary-hoe' }],
  },
  loadCatalogue(),
);
const species: string = answer.emergence[0]!.species;
console.log(species, answer.windowDays.length);
`;

/** The same with a mistake that only types can find. */
const MISUSE = `
import { loadCatalogue, outlook } from 'whitethread';
outlook({ site: { latitudeDeg: 'north' } }, loadCatalogue());
`;

describe('the packed tarball in an empty project', () => {
  let folder = '';
  let packed: readonly string[] = [];
  const npm = (args: readonly string[], cwd: string): string => execFileSync('npm', args, { cwd, encoding: 'utf8' });
  /** Compiles one file of the empty project with the compiler of this one; gives what it complains about. */
  const complaints = (file: string): string => {
    const strict = ['--strict', '--skipLibCheck', '--module', 'nodenext', '--target', 'es2023', '--lib', 'es2023,dom'];
    const compiler = join(root, 'node_modules', '.bin', 'tsc');
    return spawnSync(compiler, ['--ignoreConfig', ...strict, file], { cwd: folder, encoding: 'utf8' }).stdout;
  };
  const installed = (path: string): string => join(folder, 'node_modules', 'whitethread', path);

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'packed-'));
    const [report] = JSON.parse(npm(['pack', '--json', '--silent', '--pack-destination', folder], root));
    packed = report.files.map(({ path }: { path: string }) => path);
    writeFileSync(join(folder, 'package.json'), '{ "private": true, "type": "module" }');
    // The embedded database, optional, would be compiled here; the image's test does that.
    npm(
      ['install', '--omit=optional', '--no-audit', '--no-fund', '--prefer-offline', join(folder, report.filename)],
      folder,
    );
    writeFileSync(join(folder, 'use.ts'), USE);
    writeFileSync(join(folder, 'misuse.ts'), MISUSE);
  }, 300_000);

  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('holds the program, its types, catalogue, demo farm, licence and texts, and no tests or sources', () => {
    for (const path of [
      'dist/index.js',
      'dist/index.d.ts',
      'dist/main.js',
      'dist/catalogue/references.json',
      'dist/catalogue/species/waterhemp.json',
      'fixtures/demo/farm.json',
      'fixtures/demo/weather.csv',
      'LICENSE',
      'README.md',
      'package.json',
    ])
      expect(packed).toContain(path);
    expect(
      packed.filter((path) => !/^(dist|docs|fixtures\/demo)\/|^(LICENSE|README\.md|package\.json)$/.test(path)),
    ).toEqual([]);
    expect(packed.filter((path) => path.endsWith('.ts') && !path.endsWith('.d.ts'))).toEqual([]);
  });

  test('the command begins with a line for the shell and may be run', () => {
    expect(readFileSync(installed('dist/main.js'), 'utf8')).toMatch(/^#!\/usr\/bin\/env node\n/);
    expect(statSync(join(folder, 'node_modules', '.bin', 'whitethread')).mode & 0o111).toBe(0o111);
  });

  test('imports with types, and the types tell a mistake', () => {
    expect(complaints('use.ts')).toBe('');
    expect(execFileSync('node', ['use.js'], { cwd: folder, encoding: 'utf8' })).toBe('giant-foxtail 15\n');
    expect(complaints('misuse.ts')).toContain("Type 'string' is not assignable to type 'number'");
  });

  test('`npx whitethread tomorrow` shows the demo farm', () => {
    const text = execFileSync('npx', ['whitethread', 'tomorrow'], { cwd: folder, encoding: 'utf8' });
    expect(text).toContain('Plumbline Hollow');
    expect(text).toContain('Gate Field');
  });
});
