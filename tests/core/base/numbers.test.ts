import { expect, test } from 'vitest';
import { clamp, interpolated, rounded } from '../../../src/core/base/numbers.ts';

test('clamp holds a value between two others', () => {
  expect([clamp(5, 0, 1), clamp(-5, 0, 1), clamp(0.3, 0, 1)]).toEqual([1, 0, 0.3]);
});

test('interpolated draws straight lines and stays flat outside', () => {
  const points = [
    [0, 0],
    [2, 4],
    [4, 0],
  ] as const;
  expect([-1, 0, 1, 2, 3, 9].map((x) => interpolated(points, x))).toEqual([0, 0, 2, 4, 2, 0]);
});

test('interpolated has no answer for NaN or without points', () => {
  expect(interpolated([[0, 1]], Number.NaN)).toBeNaN();
  expect(interpolated([], 1)).toBeNaN();
});

test('rounded keeps so many decimals', () => {
  expect([rounded(1.2345, 2), rounded(-1.25, 1), rounded(17, 0)]).toEqual([1.23, -1.2, 17]);
});
