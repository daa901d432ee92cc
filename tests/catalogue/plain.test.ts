import { describe, expect, test } from 'vitest';
import { plain, wrappers } from '../../src/catalogue/plain.ts';
import { sourced } from '../../src/catalogue/schema.ts';

const base = { value: 4.4, unit: 'C', basis: 'published', source: 'goplen-2018' };
const file = { id: 'x', list: [{ lagCd: { value: 50, unit: 'C d', basis: 'derived', note: 'n' } }], baseTempC: base };

describe('plain', () => {
  test('takes values out of their wrappers at every depth and leaves the rest', () => {
    expect(plain(file)).toEqual({ id: 'x', list: [{ lagCd: 50 }], baseTempC: 4.4 });
  });

  test('leaves null, an empty list and a block of values as they are', () => {
    const block = { value: { to5CmCd: 1 }, unit: 'C d', basis: 'default', note: 'n' };
    expect(plain({ a: null, b: [], c: block })).toEqual({ a: null, b: [], c: { to5CmCd: 1 } });
  });
});

test('wrappers names each value by its path', () => {
  expect(wrappers(file, 'species/x/').map(([path]) => path)).toEqual([
    'species/x/list[0].lagCd',
    'species/x/baseTempC',
  ]);
});

describe('a value with its origin', () => {
  test.each([
    ['published without a source', { value: 1, unit: 'C', basis: 'published' }],
    ['derived without the working', { value: 1, unit: 'C', basis: 'derived' }],
    ['default without why', { value: 1, unit: 'C', basis: 'default' }],
    ['no unit', { value: 1, basis: 'default', note: 'why' }],
    ['an unknown basis', { value: 1, unit: 'C', basis: 'guess', note: 'why' }],
    ['a field too many', { ...base, sources: 'x' }],
  ])('is refused: %s', (_, wrapper) => {
    expect(sourced.safeParse(wrapper).success).toBe(false);
  });

  test('is accepted when complete', () => {
    expect(sourced.safeParse(base).success).toBe(true);
  });
});
