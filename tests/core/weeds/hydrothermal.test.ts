import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heatOfDay, moistFrac, warmth } from '../../../src/core/weeds/hydrothermal.ts';
import { annual } from './synthetic.ts';

describe('heatOfDay', () => {
  it('is 2 C d for a day at 12 C on base 10, 0 for one at 10, and no more than the optimum allows', () => {
    const day = (c: number) => warmth(new Float64Array(24).fill(c));
    expect(heatOfDay(day(12), 0, 10, 30)).toBe(2);
    expect(heatOfDay(day(10), 0, 10, 30)).toBe(0);
    expect(heatOfDay(day(40), 0, 10, 30)).toBe(20);
  });

  it('counts the warm hours of a day whose mean is the base: half a day 6 C above is 3 C d', () => {
    const hours = Float64Array.from({ length: 24 }, (_, h) => (h < 12 ? 4 : 16));
    expect(heatOfDay(warmth(hours), 0, 10, 30)).toBe(3);
  });

  it('the shortcut by lowest, highest and mean gives what the hours give', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -10, max: 45, noNaN: true }), { minLength: 48, maxLength: 48 }),
        fc.double({ min: -12, max: 46, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        (hours, base, range) => {
          const plain = hours.slice(24).reduce((sum, t) => sum + Math.max(0, Math.min(t, base + range) - base) / 24, 0);
          return Math.abs(heatOfDay(warmth(Float64Array.from(hours)), 1, base, base + range) - plain) < 1e-10;
        },
      ),
    );
  });
});

describe('moistFrac', () => {
  it('is 1 wet, w0 where only the surface is, 1 - w0 where only the seedbed is, 0 dry, and 1 without psi_b', () => {
    const { germination } = annual;
    expect(moistFrac(germination, -0.6, -0.6)).toBeCloseTo(1, 12);
    expect(moistFrac(germination, -0.6, -0.61)).toBeCloseTo(0.6, 12);
    expect(moistFrac(germination, -0.61, -0.6)).toBeCloseTo(0.4, 12);
    expect(moistFrac(germination, -0.61, -0.61)).toBe(0);
    expect(moistFrac({ ...germination, basePotentialMPa: null }, -15, -15)).toBe(1);
  });
});
