import { expect, test } from 'vitest';
import { code, type Source, sources } from './tree.ts';

/** Rooms of the house, lowest first; rooms of one line are siblings and never import each other. */
const floors = [
  ['src/core/base'],
  ['src/core/weather'],
  ['src/core/soil'],
  ['src/core/weeds', 'src/core/crop'],
  ['src/core/windows'],
  ['src/core/outlook'],
  ['src/core/plan', 'src/core/decisions'],
  ['src/catalogue'],
  ['src/sources', 'src/store'],
  ['src/service'],
  ['src/report'],
  ['src/http', 'src/cli'],
  ['src/main.ts'],
];
const rooms = floors.flat();
const roomOf = (path: string): string | undefined => rooms.find((room) => path === room || path.startsWith(`${room}/`));
const floorOf = (room: string): number => floors.findIndex((floor) => floor.includes(room));
const src = sources('src');

const broken = (what: (source: Source) => readonly string[]): string[] =>
  src.flatMap((source) => what(source).map((fault) => `${source.path}: ${fault}`));

test('every file of src but the face stands in a room', () => {
  expect(src.filter(({ path }) => roomOf(path) === undefined).map(({ path }) => path)).toEqual(['src/index.ts']);
});

test('imports go downwards only, siblings never', () => {
  expect(
    broken(({ path, imports }) => {
      const here = roomOf(path);
      if (here === undefined) return [];
      return imports.filter((to) => {
        const there = roomOf(to);
        return there !== undefined && there !== here && floorOf(there) >= floorOf(here);
      });
    }),
  ).toEqual([]);
});

test('the core is pure: no clock, chance, environment, console, file or network', () => {
  const impure = /Date\.now|new Date\(\)|Math\.random|\bprocess\.|\bconsole\.|\bfetch\(|performance\./g;
  expect(broken(({ path, text }) => (path.startsWith('src/core/') ? (code(text).match(impure) ?? []) : []))).toEqual(
    [],
  );
  const allowed = ['zod', 'suncalc', 'simple-statistics'];
  expect(
    broken(({ path, imports }) =>
      path.startsWith('src/core/') ? imports.filter((to) => !to.startsWith('src/') && !allowed.includes(to)) : [],
    ),
  ).toEqual([]);
});

test('zod stands in schema.ts and base/quantity.ts only', () => {
  expect(
    broken(({ path, imports }) =>
      path.endsWith('/schema.ts') || path === 'src/core/base/quantity.ts' ? [] : imports.filter((to) => to === 'zod'),
    ),
  ).toEqual([]);
});

test('no class in the core, no any, no default export, no barrel but the face', () => {
  expect(
    broken(({ path, text }) => (path.startsWith('src/core/') ? (code(text).match(/^\s*class /gm) ?? []) : [])),
  ).toEqual([]);
  expect(broken(({ text }) => code(text).match(/: any\b|<any>|as any\b|export default/g) ?? [])).toEqual([]);
  expect(
    broken(({ path, text }) =>
      path === 'src/index.ts' ? [] : (code(text).match(/^export (\*|\{[^}]*\}) from/gm) ?? []),
    ),
  ).toEqual([]);
});

test('no source file is longer than 200 lines', () => {
  expect(broken(({ text }) => (text.split('\n').length > 200 ? ['too long'] : []))).toEqual([]);
});
