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
  ...Array.from({ length: positions - 1 }, (_, i) => [i / 10_000, 1]),
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

test.each([
  [
    'most of the world',
    'Polygon',
    [
      [-170, -80],
      [170, -80],
      [170, 80],
      [-170, 80],
      [-170, -80],
    ],
    17_000,
  ],
  [
    'once around it',
    'Polygon',
    [
      [0, 1],
      [120, 1],
      [-120, 1],
      [-1, 1.1],
      [0, 1],
    ],
    10_000,
  ],
  [
    'a slip in a longitude',
    'Polygon',
    [
      [-93, 41],
      [-93, 41.1],
      [-39, 41.1],
      [-93, 41],
    ],
    4_000,
  ],
  [
    'two fields in one',
    'MultiPolygon',
    [
      [-93, 41],
      [-93, 41.1],
      [-92.9, 41.1],
      [-93, 41],
    ],
    1_000,
  ],
])('an outline of %s is refused with how far it is across', (_, type, outline, leastKm) => {
  const coordinates = type === 'Polygon' ? [outline] : [[outline], [outline.map(([x = 0, y = 0]) => [x, y + 10])]];
  const [problem, ...more] = problemsOf({ type, coordinates });
  expect(more).toEqual([]);
  expect(problem).toMatchObject({ code: 'invalid-input', where: 'geometry.coordinates' });
  const km = /^an outline at most 100 km across, not (\d+) km: longitude stands first/.exec(
    problem?.allowed ?? '',
  )?.[1];
  expect(Number(km)).toBeGreaterThan(leastKm);
});

test('99 km across is taken, also over the date line and far in the north', () => {
  const along = (lon: number, lat: number, degrees: number) => ({
    type: 'Polygon',
    coordinates: [
      [
        [lon, lat],
        [lon > 179 ? lon + degrees - 360 : lon + degrees, lat],
        [lon, lat + 0.001],
        [lon, lat],
      ],
    ],
  });
  for (const [lon, lat, degrees] of [
    [-93, 0, 0.89],
    [179.9, 0, 0.89],
    [20, 60, 1.78],
  ] as const)
    expect([lon, problemsOf(along(lon, lat, degrees))]).toEqual([lon, []]);
  expect(problemsOf(along(-93, 0, 0.91))).toHaveLength(1);
});

test('an empty outline is refused, not a fault of ours', () => {
  for (const coordinates of [[], [[]]]) expect(problemsOf({ type: 'Polygon', coordinates }).length).toBeGreaterThan(0);
  for (const coordinates of [[], [[]], [[[]]]])
    expect(problemsOf({ type: 'MultiPolygon', coordinates }).length).toBeGreaterThan(0);
});

test('the box that some programs put beside a geometry is taken and dropped, RFC 7946, 5', () => {
  const point = { type: 'Point', coordinates: [-93, 41] };
  expect(parsed(geometry, { ...point, bbox: [-93, 41, -93, 41] }, '')).toEqual(point);
  expect(parsed(geometry, { ...point, bbox: [-93, 41, 200, -93, 41, 210] }, '')).toEqual(point);
  for (const bbox of ['x', [], [1, 2, 3], [1, 2, 3, '4'], null])
    expect(problemsOf({ ...point, bbox })).toMatchObject([{ where: 'geometry.bbox' }]);
});

test('a hole beside its outline is refused, where it would move the field elsewhere', () => {
  const box = (west: number, south: number, side: number): number[][] => [
    [west, south],
    [west, south + side],
    [west + side, south + side],
    [west + side, south],
    [west, south],
  ];
  expect(problemsOf({ type: 'Polygon', coordinates: [box(-93, 41, 0.5), box(-92.8, 41.2, 0.1)] })).toEqual([]);
  for (const hole of [box(-80, 81, 1), box(-93.1, 41.2, 0.2), box(-93, 41, 0.55)])
    expect(problemsOf({ type: 'Polygon', coordinates: [box(-93, 41, 0.5), hole] })).toMatchObject([
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
