import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  clearSkyMjPerM2,
  dayLengthH,
  declinationRad,
  extraterrestrialMjPerM2,
  solarFromRangeMjPerM2,
  sunsetAngleRad,
} from '../../../src/core/weather/daylight.ts';

const latitude = fc.double({ min: -90, max: 90, noNaN: true });
const dayOfYear = fc.integer({ min: 1, max: 366 });
const hours = (latitudeDeg: number, day: number) => dayLengthH(sunsetAngleRad(latitudeDeg, declinationRad(day)));

describe('daylight', () => {
  test('the polar day has 24 hours and the polar night none, the poles included', () => {
    expect(hours(78, 172)).toBe(24);
    expect(hours(90, 172)).toBeCloseTo(24, 6);
    expect(hours(78, 355)).toBe(0);
    expect(extraterrestrialMjPerM2(78, 355)).toBe(0);
    expect(hours(-78, 355)).toBe(24);
  });

  test('the equator has 12 hours all year', () => {
    for (const day of [1, 80, 172, 266, 355]) expect(hours(0, day)).toBeCloseTo(12, 10);
  });

  test('north and south share a day: their lengths add up to 24 hours', () => {
    fc.assert(fc.property(latitude, dayOfYear, (phi, day) => Math.abs(hours(phi, day) + hours(-phi, day) - 24) < 1e-9));
  });

  test('radiation outside the air is 0 to 48.6 MJ/m2 everywhere, the most at the pole, never NaN', () => {
    fc.assert(
      fc.property(latitude, dayOfYear, (phi, day) => {
        const top = extraterrestrialMjPerM2(phi, day);
        return top >= 0 && top < 48.6;
      }),
      { numRuns: 1000 },
    );
  });

  test('radiation from the temperature range is at most that of a clear sky, and a range under 1 C counts as 1 C', () => {
    const clear = clearSkyMjPerM2(40, 100);
    expect(clear).toBeCloseTo(30.08, 10);
    expect(solarFromRangeMjPerM2(40, clear, 40, 0.17)).toBe(clear);
    expect(solarFromRangeMjPerM2(40, clear, 0.2, 0.17)).toBeCloseTo(0.17 * 40, 10);
    expect(solarFromRangeMjPerM2(40, clear, 9, 0.17)).toBeCloseTo(0.17 * 3 * 40, 10);
  });
});
