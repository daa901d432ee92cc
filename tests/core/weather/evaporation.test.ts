import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  dewPointC,
  hargreavesMm,
  netLongwaveMjPerM2,
  penmanMonteithMm,
  saturationKPa,
  saturationSlope,
} from '../../../src/core/weather/evaporation.ts';

test('dew point is saturation pressure turned round, from -40 to 50 C', () => {
  fc.assert(
    fc.property(fc.double({ min: -40, max: 50, noNaN: true }), (t) => Math.abs(dewPointC(saturationKPa(t)) - t) < 1e-8),
  );
});

test('the slope is the derivative of saturation pressure', () => {
  for (const t of [-10, 0, 15, 30]) {
    const numeric = (saturationKPa(t + 1e-4) - saturationKPa(t - 1e-4)) / 2e-4;
    // FAO-56 rounds 17.27 x 237.3 = 4098.2 to 4098.
    expect(saturationSlope(t) / numeric).toBeCloseTo(1, 4);
  }
});

test('reference evaporation is never negative', () => {
  expect(hargreavesMm(-30, -40, 5)).toBe(0);
  expect(hargreavesMm(5, 6, 20)).toBe(0);
  expect(penmanMonteithMm(-5, -15, -4, saturationKPa(-10), 2, 0.066)).toBe(0);
});

test('without sun the sky counts as clear: long-wave loss stays finite in polar night', () => {
  expect(netLongwaveMjPerM2(-10, -20, 0.2, 0, 0)).toBeCloseTo(netLongwaveMjPerM2(-10, -20, 0.2, 10, 10), 12);
});
