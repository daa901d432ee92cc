import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { declinationRad } from '../../../src/core/weather/daylight.ts';
import { airTemperatures, sunHours, WARMEST_HOUR } from '../../../src/core/weather/hours.ts';

describe('air temperatures of a day', () => {
  const out = new Float64Array(24);

  test('the lowest is the hour of sunrise, the highest that of 13.86 (calibrated)', () => {
    airTemperatures(out, 0, 22, 8, 24, 10, 6);
    // The evening falls more slowly than the morning rises, so the hour after may have the higher mean.
    expect(Math.abs(out.indexOf(Math.max(...out)) + 0.5 - WARMEST_HOUR)).toBeLessThan(1);
    expect([5, 6]).toContain(out.indexOf(Math.min(...out)));
    expect(Math.max(...out)).toBeGreaterThan(23.8);
    expect(Math.min(...out)).toBeLessThan(8.2);
  });

  test('no hour leaves the range of the neighbouring highest and lowest', () => {
    const t = fc.double({ min: -40, max: 45, noNaN: true });
    fc.assert(
      fc.property(t, t, t, t, fc.double({ min: 0, max: 12, noNaN: true }), (previous, a, b, next, sunrise) => {
        airTemperatures(out, 0, previous, Math.min(a, b), Math.max(a, b), next, sunrise);
        const low = Math.min(previous, a, b, next) - 1e-9;
        const high = Math.max(previous, a, b, next) + 1e-9;
        return out.every((air) => air >= low && air <= high);
      }),
    );
  });

  test('a day joins the next without a step: both meet on the same arc', () => {
    const tomorrow = new Float64Array(24);
    airTemperatures(out, 0, 20, 8, 24, 12, 6);
    airTemperatures(tomorrow, 0, 24, 12, 28, 14, 6);
    const last = (out[23] as number) - (out[22] as number);
    const over = (tomorrow[0] as number) - (out[23] as number);
    expect(Math.abs(over - last)).toBeLessThan(0.2);
  });
});

describe('shares of the sun by hour', () => {
  const shares = (latitudeDeg: number, day: number) => sunHours(latitudeDeg, Float64Array.of(declinationRad(day)));
  const sum = (values: Float64Array) => values.reduce((a, b) => a + b, 0);

  test('add up to 1, or to 0 in polar night', () => {
    fc.assert(
      fc.property(fc.double({ min: -90, max: 90, noNaN: true }), fc.integer({ min: 1, max: 366 }), (phi, day) => {
        const total = sum(shares(phi, day));
        return Math.abs(total - 1) < 1e-12 || total === 0;
      }),
    );
    expect(sum(shares(80, 355))).toBe(0);
    expect(sum(shares(80, 172))).toBeCloseTo(1, 12);
  });

  test('are the same before and after noon', () => {
    const day = shares(42, 130);
    for (let h = 0; h < 12; h++) expect(day[h]).toBeCloseTo(day[23 - h] as number, 12);
  });
});
