import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { loadCatalogue, loadTargets } from '../../src/catalogue/load.ts';
import { isSourced } from '../../src/catalogue/plain.ts';

const folder = new URL('../../src/catalogue/', import.meta.url);
const kinds = ['species', 'crops', 'implements'];
const files = kinds
  .filter((kind) => existsSync(new URL(kind, folder)))
  .flatMap((kind) => readdirSync(new URL(kind, folder)).map((file) => `${kind}/${file}`));
const content = (file: string): unknown => JSON.parse(readFileSync(new URL(file, folder), 'utf8'));

const catalogue = loadCatalogue();

/** Paths of the numbers, nulls and month-days that stand in a file without an origin. */
const bare = (node: unknown, path: string): string[] => {
  if (isSourced(node)) return [];
  if (typeof node === 'number' || node === null) return [path];
  if (typeof node === 'string') return /^\d\d-\d\d$/.test(node) ? [path] : [];
  if (typeof node !== 'object') return [];
  return Object.entries(node).flatMap(([key, child]) => bare(child, `${path}.${key}`));
};

describe.each(files)('%s', (file) => {
  test('every number, null and month-day stands in a wrapper', () => {
    expect(bare(content(file), file)).toEqual([]);
  });

  test('bears the id of its entry as its name', () => {
    expect(content(file)).toMatchObject({ id: file.replace(/^.*\//, '').replace('.json', '') });
  });

  test('has values with an origin', () => {
    const path = file.replace('.json', '/');
    expect([...catalogue.provenance.keys()].filter((key) => key.startsWith(path)).length).toBeGreaterThan(0);
  });
});

describe('origins', () => {
  const wrappers = [...catalogue.provenance];
  const evidence = [...loadTargets().values()].flat().flatMap((target) => target.evidence);

  test('every published value names a reference of references.json', () => {
    const published = wrappers.filter(([, { basis }]) => basis === 'published');
    expect(published.length).toBeGreaterThan(0);
    expect(published.filter(([, { source }]) => !Object.hasOwn(catalogue.references, source ?? ''))).toEqual([]);
  });

  test('evidence names references of references.json', () => {
    const named = evidence.flatMap(({ source }) => source ?? []);
    expect(named.filter((id) => !Object.hasOwn(catalogue.references, id))).toEqual([]);
  });

  test('every reference is used', () => {
    const used = new Set([...wrappers.map(([, { source }]) => source), ...evidence.map(({ source }) => source)]);
    expect(Object.keys(catalogue.references).filter((id) => !used.has(id))).toEqual([]);
  });

  test('references stand in the order of the alphabet', () => {
    const ids = Object.keys(catalogue.references);
    expect(ids).toEqual([...ids].sort());
  });

  test('nothing that was only remembered goes out as published', () => {
    const doubtful = wrappers.filter(([, w]) => w.basis === 'published' && /memory|recall/i.test(JSON.stringify(w)));
    expect(doubtful).toEqual([]);
    expect(JSON.stringify(catalogue.references)).not.toMatch(/memory|recall/i);
  });

  test('a range holds its value', () => {
    const outside = wrappers.filter(
      ([, { value, range }]) =>
        range !== undefined && typeof value === 'number' && (value < range[0] || value > range[1]),
    );
    expect(outside).toEqual([]);
  });

  test('one unit is spelled in one way', () => {
    const units = new Set(wrappers.map(([, { unit }]) => unit));
    for (const wrong of ['°C', 'degC', 'Cd', 'GDD', '%', 'days', 'mm/dd', '-']) expect(units).not.toContain(wrong);
  });
});
