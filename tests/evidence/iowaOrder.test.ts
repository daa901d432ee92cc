import { median } from 'simple-statistics';
import { expect, it } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { monthDayIn } from '../../src/core/base/day.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import { reachedDay } from '../../src/core/weeds/reached.ts';
import type { Species } from '../../src/core/weeds/schema.ts';
import { weedDays } from '../../src/core/weeds/weeds.ts';
import { ground } from '../core/soil/made.ts';
import { ames, amesFile, amesSite, describeWith } from './evidence.ts';

/**
 * First emergence at four Iowa sites in 1997 (Sandell, Hartzler & Buhler), earliest first. Without cocklebur, whose seeds
 * there were planted deep.
 */
const order = [
  'giant-ragweed',
  'common-sunflower',
  'velvetleaf',
  'woolly-cupgrass',
  'giant-foxtail',
  'waterhemp',
  'morningglory',
  'fall-panicum',
];

/** Kendall's tau between a list in order and its dates; equal dates count for neither. */
const kendallTau = (days: readonly number[]): number => {
  let score = 0;
  let pairs = 0;
  for (let i = 0; i < days.length; i++)
    for (let j = i + 1; j < days.length; j++) {
      score += Math.sign((days[j] as number) - (days[i] as number));
      pairs++;
    }
  return score / pairs;
};

it('Kendall tau: 1 for the order, -1 for its reverse, 1/3 for one pair of three exchanged', () => {
  expect([kendallTau([1, 2, 3]), kendallTau([3, 2, 1])]).toEqual([1, -1]);
  expect(kendallTau([2, 1, 3])).toBeCloseTo(1 / 3, 12);
});

describeWith([amesFile], 'order of first emergence, 2 % up, bare silt loam at Ames', () => {
  const { series } = ames();
  const soil = soilDays(series, amesSite, ground('silt-loam'), new Float64Array(series.days), []);
  const known = new Map(loadCatalogue().species.map((one) => [one.id, one]));
  const weeds = weedDays(
    soil,
    series,
    order.map((id) => known.get(id) as Species),
    [],
    false,
  );
  const years = Array.from({ length: 31 }, (_, i) => 1988 + i);
  const taus = years.map((year) => {
    const from = monthDayIn(year, '01-01') - series.startDay;
    const days = weeds.species.map((one) => reachedDay(one.potentialFrac, series.startDay, 0.02, from) ?? Number.NaN);
    return kendallTau(days);
  });

  it('median Kendall tau over 1988 to 2018 at least 0.9, no year below 0.7', () => {
    expect(median(taus)).toBeGreaterThanOrEqual(0.9);
    expect(Math.min(...taus)).toBeGreaterThanOrEqual(0.7);
  });
});
