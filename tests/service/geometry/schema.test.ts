import { expect, test } from 'vitest';
import { isWhitethreadError } from '../../../src/core/base/errors.ts';
import { parsed } from '../../../src/core/base/schema.ts';
import { geometry } from '../../../src/service/geometry/schema.ts';

const problemsOf = (given: unknown) => {
  try {
    parsed(geometry, given, 'geometry');
    return [];
  } catch (error) {
    if (isWhitethreadError(error)) return error.problems;
    throw error;
  }
};

/** A closed ring. */
const ring = (positions: number): number[][] => [
  ...Array.from({ length: positions - 1 }, (_, i) => [i / 100, 1]),
  [0, 1],
];

test('an outline of 2,000 positions is taken, in one ring or in many', () => {
  expect(problemsOf({ type: 'Polygon', coordinates: [ring(2000)] })).toEqual([]);
  const polygons = Array.from({ length: 4 }, () => [ring(250), ring(250)]);
  expect(problemsOf({ type: 'MultiPolygon', coordinates: polygons })).toEqual([]);
});

test.each([
  ['Polygon', [ring(2001)], 2001],
  ['Polygon', [ring(1500), ring(700)], 2200],
  ['MultiPolygon', [[ring(1500)], [ring(300), ring(300)]], 2100],
  ['Polygon', [Array(9000).fill('a')], 9000],
  ['MultiPolygon', Array(9000).fill('a'), 9000],
])('more than 2,000 positions of a %s are one problem that says how many', (type, coordinates, count) => {
  expect(problemsOf({ type, coordinates })).toMatchObject([
    {
      code: 'invalid-input',
      where: 'geometry.coordinates',
      allowed: `at most 2000 positions together, not ${count}: simplify the outline`,
    },
  ]);
});

test('a hole beside its outline is refused, where it would move the field elsewhere', () => {
  const box = (west: number, south: number, side: number): number[][] => [
    [west, south],
    [west, south + side],
    [west + side, south + side],
    [west + side, south],
    [west, south],
  ];
  expect(problemsOf({ type: 'Polygon', coordinates: [box(-93, 41, 1), box(-92.6, 41.2, 0.1)] })).toEqual([]);
  for (const hole of [box(-80, 81, 1), box(-93.1, 41.2, 0.5), box(-93, 41, 1.1)])
    expect(problemsOf({ type: 'Polygon', coordinates: [box(-93, 41, 1), hole] })).toMatchObject([
      { where: 'geometry.coordinates', allowed: 'holes within their outline, which is the first ring' },
    ]);
  // Both sides of the date line.
  expect(problemsOf({ type: 'Polygon', coordinates: [box(179.9, -40, 0.1), box(179.92, -39.98, 0.01)] })).toEqual([]);
});

test('positions of an outline with too many are not looked at one by one', () => {
  let looks = 0;
  const position = new Proxy([1, 2], {
    get: (target, name) => {
      looks++;
      return Reflect.get(target, name);
    },
  });
  expect(problemsOf({ type: 'Polygon', coordinates: [Array(2000).fill(position)] })).toEqual([]);
  const ofAllowed = looks;
  expect(ofAllowed).toBeGreaterThan(4000);
  looks = 0;
  expect(problemsOf({ type: 'Polygon', coordinates: [Array(2001).fill(position)] })).toHaveLength(1);
  // To show what was given, it is written out once; no position is checked.
  expect(looks).toBeLessThan(ofAllowed);
});

test('a position has two numbers or three, and thousands of long ones are told like any fault', () => {
  expect(problemsOf({ type: 'Point', coordinates: [1, 2, 300] })).toEqual([]);
  expect(problemsOf({ type: 'Point', coordinates: [1, 2, 300, 4] })).toHaveLength(1);
  expect(problemsOf({ type: 'Polygon', coordinates: [Array(2000).fill(Array(120).fill('a'))] }).length).toBeGreaterThan(
    0,
  );
});

test('other faults are told as before, and nothing falls over', () => {
  for (const given of [null, 7, 'x', {}, { type: 'Polygon' }, { type: 'Circle', coordinates: [] }])
    expect(problemsOf(given).length).toBeGreaterThan(0);
});
