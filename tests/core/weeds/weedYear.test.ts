import { expect, it } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import type { SpeciesDays, WeedPass } from '../../../src/core/weeds/days.ts';
import { flushes } from '../../../src/core/weeds/flushes.ts';
import type { Species } from '../../../src/core/weeds/schema.ts';
import { weedDays } from '../../../src/core/weeds/weeds.ts';
import { weedYear } from '../../../src/core/weeds/weedYear.ts';
import { annual, evenKill, passOf, syntheticSoil, syntheticWeather, winterAnnual } from './synthetic.ts';

const START = dayNumber('2021-01-01');
const stirred = { ...annual, stirFactor: 1.8 };
const SEEDBED = passOf(START + 110, evenKill(0), 1);

const run = (species: Species, passes: readonly WeedPass[] = [], startDay = START, days = 365) =>
  weedDays(syntheticSoil(startDay, days), syntheticWeather(startDay, days), [species], passes, false);
const only = (weeds: ReturnType<typeof run>): SpeciesDays => weeds.species[0] as SpeciesDays;

it('an undisturbed year sends up 1, wherever the weather ends', () => {
  for (const days of [1, 60, 120, 365]) {
    const weeds = run(annual, [], START, days);
    expect(weedYear(weeds, only(weeds), annual, START, false).totalFrac).toBeCloseTo(1, 9);
  }
});

it('stirring makes the year larger and its flushes share it: never more than all, little less', () => {
  const weeds = run(stirred, [SEEDBED]);
  const one = only(weeds);
  const year = weedYear(weeds, one, stirred, START + 200, false);
  const { totalFrac } = year;
  expect(totalFrac).toBeGreaterThan(1.1);
  expect(totalFrac).toBeCloseTo(one.germinatedFrac[364], 9);
  const shares = flushes(weeds, [1], [year]).map(({ shareFrac }) => shareFrac);
  const sum = shares.reduce((a, b) => a + b, 0);
  expect(sum).toBeLessThanOrEqual(1);
  expect(sum).toBeGreaterThan(0.9);
});

it('a winter annual is counted from its autumn on; what came before the weather is missed, not still to come', () => {
  const whole = run(winterAnnual, [], dayNumber('2020-07-01'), 500);
  const may = dayNumber('2021-05-15');
  const year = weedYear(whole, only(whole), winterAnnual, may, false);
  expect(year.fromDay).toBe(dayNumber('2020-08-01'));
  expect(year).toMatchObject({ missedFrac: 0, first: 31, end: 396 });
  expect(year.totalFrac).toBeCloseTo(1, 2);
  const spring = run(winterAnnual, [], START, 365);
  const late = weedYear(spring, only(spring), winterAnnual, may, false);
  expect(late).toMatchObject({ first: 0, missedFrac: 0.7 });
  expect(late.totalFrac).toBeCloseTo(1, 9);
});
