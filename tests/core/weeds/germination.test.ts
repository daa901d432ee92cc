import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { germinatedShare, germinationTimeCd } from '../../../src/core/weeds/germination.ts';

const curve = { lagCd: 50, scaleCd: 50, shape: 2 };

describe('germinatedShare', () => {
  it('is 1 - 1/e one scale after the lag, whatever the shape', () => {
    for (const shape of [0.5, 1, 2, 5]) expect(germinatedShare(100, { ...curve, shape })).toBeCloseTo(0.632121, 6);
  });

  it('is 0 up to the lag and exactly 1 at the far end', () => {
    expect(germinatedShare(0, curve)).toBe(0);
    expect(germinatedShare(50, curve)).toBe(0);
    expect(germinatedShare(400, curve)).toBe(1);
  });

  it('germinationTimeCd is its inverse', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.001, max: 0.999, noNaN: true }),
        fc.double({ min: 0.3, max: 10, noNaN: true }),
        (share, shape) =>
          Math.abs(germinatedShare(germinationTimeCd(share, { ...curve, shape }), { ...curve, shape }) - share) < 1e-9,
      ),
    );
    expect(germinationTimeCd(0, curve)).toBe(50);
  });
});
