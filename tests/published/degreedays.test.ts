import { describe, expect, it } from 'vitest';
import { clampedHeat, meanHeat, sineHeat, triangleHeat } from '../../src/core/weather/degreedays.ts';

const halfUp = (value: number, digits: number): number => Math.round(value * 10 ** digits + 1e-6) / 10 ** digits;

describe('McMaster & Wilhelm 1997, Agricultural and Forest Meteorology 87:291, illustration set, base 0', () => {
  const rows = [
    [20, 10, 15, 15],
    [10, 1, 5.5, 5.5],
    [8, -2, 3, 4],
    [6, 0, 3, 3],
    [10, 5, 7.5, 7.5],
    [5, -5, 0, 2.5],
    [-2, -7, 0, 0],
    [-5, -10, 0, 0],
    [10, -2, 4, 5],
    [15, 2, 8.5, 8.5],
  ] as const;
  it.each(rows)('max %d, min %d: %d by method 1, %d by method 2', (max, min, first, second) => {
    expect(meanHeat(max, min, 0)).toBeCloseTo(first, 10);
    expect(clampedHeat(max, min, 0, 100)).toBeCloseTo(second, 10);
  });

  it.each([
    [70, 45, 10],
    [80, 55, 17.5],
    [92, 60, 23],
    [48, 40, 0],
    [86, 52, 19],
  ])('corn, 50 and 86 F: max %d, min %d: %d', (max, min, heat) => {
    expect(clampedHeat(max, min, 50, 86)).toBeCloseTo(heat, 10);
  });
});

describe('Zalom et al. 1983, UC Leaflet 21373, table 7: 55 and 90 F, horizontal cut-off', () => {
  // min, max, next min; single triangle, double triangle, single sine, double sine.
  const rows = [
    [96, 110, 91, 35, 35, 35, 35],
    [91, 105, 96, 35, 35, 35, 35],
    [45, 54, 38, 0, 0, 0, 0],
    [38, 50, 45, 0, 0, 0, 0],
    [60, 80, 75, 15, 18.75, 15, 18.75],
    [75, 88, 60, 26.5, 22.75, 26.5, 22.75],
    [50, 82, 45, 11.39, 10.62, 11.85, 11.31],
    [45, 70, 50, 4.5, 5.06, 5.31, 5.7],
    // Printed with 24.88 for the double triangle, which the leaflet's own formula does not give (27.125): left out.
    [60, 100, 75, 23.75, null, 22.82, 26.26],
    [75, 95, 60, 29.38, 25.76, 28.91, 25.3],
    [50, 101, 48, 19.56, 19.19, 18.95, 18.69],
    [48, 95, 50, 16.76, 17.13, 16.96, 17.23],
  ] as const;
  it.each(rows)('%d-%d-%d: triangle %d, %s; sine %d, %d', (min, max, next, triangle, triangles, sine, sines) => {
    // Two decimals are printed, and the last is not always rounded the same way.
    const near = (value: number, printed: number) => expect(Math.abs(value - printed)).toBeLessThan(0.0151);
    near(triangleHeat(max, min, min, 55, 90), triangle);
    if (triangles !== null) near(triangleHeat(max, min, next, 55, 90), triangles);
    near(sineHeat(max, min, min, 55, 90), sine);
    near(sineHeat(max, min, next, 55, 90), sines);
  });
});

describe('single sine and triangle, other printed days', () => {
  it.each([
    [19.4, 7.8, 2.72, 2.36],
    [22.2, 4.4, 3.51, 2.92],
    [21.7, 10.0, 4.21, 4.02],
    [32.2, 10.0, 9.36, 9.19],
    [23.9, 15.0, 7.45, 7.45],
    [30.6, 4.4, 7.29, 6.6],
  ])('Ojai 2016, 12 and 33 C: max %d, min %d: sine %d, triangle %d', (max, min, sine, triangle) => {
    expect(Math.abs(sineHeat(max, min, min, 12, 33) - sine)).toBeLessThan(0.01);
    expect(Math.abs(triangleHeat(max, min, min, 12, 33) - triangle)).toBeLessThan(0.01);
  });

  it.each([
    [55, 65, 10],
    [55, 70, 12.5],
    [60, 70, 15],
    [60, 75, 17.5],
    [65, 80, 22.5],
    [65, 85, 25],
  ])('Wilson & Barnett 1983, base 50 F: min %d, max %d: %d', (min, max, heat) => {
    expect(halfUp(meanHeat(max, min, 50), 1)).toBe(heat);
  });

  it('a constant day counts its distance from the base, up to the limit', () => {
    expect(sineHeat(20, 20, 20, 10, 30)).toBe(10);
    expect(sineHeat(35, 35, 35, 10, 30)).toBe(20);
    expect(triangleHeat(5, 5, 5, 10, 30)).toBe(0);
  });
});
