import { describe, expect, it } from 'vitest';
import { killFrac } from '../../../src/core/weeds/kill.ts';
import type { KillProfile } from '../../../src/core/weeds/schema.ts';
import { annual, evenKill, goodConditions, perennial } from './synthetic.ts';

const base = evenKill(0.8);
const zone = base.zones[0] as KillProfile['zones'][number];
const hoe: KillProfile = {
  ...base,
  zones: [{ ...zone, grass: { ...zone.grass, leaf1To2: { low: 0.2, mean: 0.4, high: 0.6 } } }],
  largeSeedFactor: 0.6,
  perennialFactor: 0.7,
  wetBeforeFactor: 0.36,
  rainNextDayFactor: 0.36,
  rainSecondDayFactor: 0.7,
  wetFloorFactor: 0.13,
  residueFactor: 0.5,
  crustFactor: 0.7,
};
const mean = (profile: KillProfile, changes: Partial<typeof goodConditions>, kind = annual): number =>
  killFrac(profile, kind, 'whiteThread', { ...goodConditions, ...changes }).mean;

describe('killFrac', () => {
  it('is the table in good conditions, low, mean and high', () => {
    const grass = { ...annual, group: 'grass' as const };
    expect(killFrac(hoe, annual, 'leaf1To2', goodConditions)).toEqual({ low: 0.8, mean: 0.8, high: 0.8 });
    expect(killFrac(hoe, grass, 'leaf1To2', goodConditions)).toEqual({ low: 0.2, mean: 0.4, high: 0.6 });
  });

  it('wet soil before, or 5 mm the next day, leaves 0.36 of it; below 5 mm all (Lovely, Weber & Staniforth 1958)', () => {
    expect(mean(hoe, { wetBefore: true })).toBeCloseTo(0.8 * 0.36, 12);
    expect(mean(hoe, { rainWithinDayMm: 5 })).toBeCloseTo(0.8 * 0.36, 12);
    expect(mean(hoe, { rainWithinDayMm: 4.9 })).toBeCloseTo(0.8, 12);
    expect(mean(hoe, { rainSecondDayMm: 5 })).toBeCloseTo(0.8 * 0.7, 12);
  });

  it('both leave 0.36 x 0.36 = 0.130, all three no less than the floor 0.13', () => {
    expect(mean(hoe, { wetBefore: true, rainWithinDayMm: 9 })).toBeCloseTo(0.8 * 0.13, 12);
    expect(mean(hoe, { wetBefore: true, rainWithinDayMm: 9, rainSecondDayMm: 9 })).toBeCloseTo(0.8 * 0.13, 12);
  });

  it('poor drying leaves half of what is uprooted, as rain does on top of rain, down to the floor (default of judgement)', () => {
    expect(mean(hoe, { dryingFactor: 0.5 })).toBeCloseTo(0.4, 12);
    expect(mean(hoe, { dryingFactor: 0.5, wetBefore: true })).toBeCloseTo(0.8 * 0.18, 12);
    expect(mean(hoe, { dryingFactor: 0.5, wetBefore: true, rainWithinDayMm: 9 })).toBeCloseTo(0.8 * 0.13, 12);
    expect(mean({ ...hoe, zones: [{ ...zone, buries: true }] }, { dryingFactor: 0.5 })).toBeCloseTo(0.8, 12);
    expect(mean({ ...hoe, wetFloorFactor: 1 }, { dryingFactor: 0.5 })).toBeCloseTo(0.8, 12);
  });

  it('a zone that buries does not mind the wet (Merfield 2018)', () => {
    const buries = { ...hoe, zones: [{ ...zone, buries: true }] };
    expect(mean(buries, { wetBefore: true, rainWithinDayMm: 20 })).toBeCloseTo(0.8, 12);
  });

  it('large seed 0.6, shoots of a perennial 0.7, residue above 30 % 0.5, crust 0.7, one times the other', () => {
    expect(mean(hoe, {}, { ...annual, seedSize: 'large' })).toBeCloseTo(0.48, 12);
    expect(mean(hoe, {}, perennial)).toBeCloseTo(0.56, 12);
    expect(mean(hoe, { residueCoverFrac: 0.31 })).toBeCloseTo(0.4, 12);
    expect(mean(hoe, { residueCoverFrac: 0.3 })).toBeCloseTo(0.8, 12);
    expect(mean(hoe, { residueCoverFrac: 0.5, crusted: true })).toBeCloseTo(0.28, 12);
  });

  it('zones add up by their share of the ground: 0.67 x 0.95 + 0.33 x 0.28 = 0.73 (Mohler et al. 2016, soybean)', () => {
    const between = evenKill(0.95).zones.map((z) => ({ ...z, groundFrac: 0.67 }));
    const inRow = evenKill(0.28).zones.map((z) => ({ ...z, groundFrac: 0.33 }));
    expect(mean({ ...hoe, zones: [...between, ...inRow] }, {})).toBeCloseTo(0.7289, 4);
  });
});
