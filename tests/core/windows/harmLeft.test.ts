import { expect, test } from 'vitest';
import { loadCatalogue } from '../../../src/catalogue/load.ts';
import { harmLeftFrac } from '../../../src/core/windows/harmLeft.ts';
import { bean, firstDay, hoe, standing } from '../../support/windows.ts';

const crop = bean({ criticalRemovalLeaf: 2 });

test('all of it up to the critical time, half of the leaves later half, nothing at the last leaf', () => {
  expect([Number.NaN, -0.5, 0, 2, 6, 10, 12].map((leaf) => harmLeftFrac(crop, leaf))).toEqual([1, 1, 1, 1, 0.5, 0, 0]);
});

test('a leaf curve that was not written to the end is not taken for a ripe crop', () => {
  const short = {
    criticalRemovalLeaf: 2,
    leaf: { heatCd: [...crop.leaf.heatCd.slice(0, 1), [4, 200] as [number, number]] },
  };
  expect(harmLeftFrac(short, 4)).toBe(0.75);
});

test('a ripe crop ends the harm to itself, not to a young one beside it', () => {
  const tolerances = [{ implement: 'hoe', fromLeaf: 1, toLeaf: 10, afternoonOnly: false, standLossFrac: 0 }];
  const at = (leaf: number) => ({ crop: bean({ criticalRemovalLeaf: 2, tolerances }), days: standing(leaf) });
  const scoreOf = (...leaves: number[]) =>
    firstDay({ implements: [hoe({ dewOff: false })], crops: leaves.map(at) }).score;
  expect(scoreOf(10)).toBe(0);
  expect(scoreOf(2)).toBeGreaterThan(1);
  expect([scoreOf(10, 2), scoreOf(2, 10)]).toEqual([scoreOf(2), scoreOf(2)]);
});

test('a later pass that kills as much has a lower score', () => {
  const on = (leaf: number) =>
    firstDay({
      implements: [hoe({ dewOff: false })],
      crops: [
        {
          crop: bean({
            criticalRemovalLeaf: 2,
            tolerances: [{ implement: 'hoe', fromLeaf: 1, toLeaf: 10, afternoonOnly: false, standLossFrac: 0 }],
          }),
          days: standing(leaf),
        },
      ],
    });
  expect(on(6).kill).toEqual(on(2).kill);
  expect(on(6).score).toBeCloseTo(0.5 * on(2).score, 5);
  expect(on(2).score).toBeGreaterThan(1);
});

test('of every crop the critical time lies before its last leaf', () => {
  for (const { id, criticalRemovalLeaf, leaf } of loadCatalogue().crops)
    expect(criticalRemovalLeaf, id).toBeLessThan((leaf.heatCd.at(-1) as readonly [number, number])[0] - 3);
});

test('a leaf of delay costs corn and soybean about 2 % of the yield, 2.3 and 3.0 here (Knezevic 2001, North Central Weed Science Society 56)', () => {
  for (const id of ['field-corn', 'soybean']) {
    const known = loadCatalogue().crops.find((one) => one.id === id) as typeof crop;
    const at = known.criticalRemovalLeaf;
    // Points of yield: weeds left alone take 39 (Lovely et al. 1958).
    const points = 39 * (harmLeftFrac(known, at + 1) - harmLeftFrac(known, at + 2));
    expect(Math.abs(points - 2), id).toBeLessThan(1.05);
  }
});
