import { describe, expect, it } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { cohortSeedSetDeadline, seedSetDeadline } from '../../../src/core/weeds/seedSet.ts';
import { annual, winterAnnual } from './synthetic.ts';

const deadline = (date: string, southern = false, species = annual) =>
  isoDate(seedSetDeadline(species, dayNumber(date), southern));
const cohort = (species: typeof annual, date: string) =>
  isoDate(cohortSeedSetDeadline(species, dayNumber(date), false));

describe('seedSetDeadline', () => {
  it('first flower 5 July + 18 days = 23 July, all through the year that its seedlings are counted by', () => {
    expect(deadline('2021-01-01')).toBe('2021-07-23');
    expect(deadline('2021-12-31')).toBe('2021-07-23');
    expect(deadline('2022-01-01')).toBe('2022-07-23');
  });

  it('is six months later in the south', () => {
    expect(deadline('2021-06-30', true)).toBe('2021-01-23');
    expect(deadline('2021-07-01', true)).toBe('2022-01-23');
    expect(deadline('2021-11-01', true)).toBe('2022-01-23');
  });

  it('a winter annual keeps to its autumn: 10 April + 20 days, from August to July', () => {
    expect(deadline('2021-08-01', false, winterAnnual)).toBe('2022-04-30');
    expect(deadline('2022-01-05', false, winterAnnual)).toBe('2022-04-30');
    expect(deadline('2022-07-31', false, winterAnnual)).toBe('2022-04-30');
    expect(deadline('2022-02-01', true, winterAnnual)).toBe('2022-10-30');
  });
});

describe('cohortSeedSetDeadline', () => {
  it('an early plant has the same, one of 1 June flowers 40 days later, on 11 July', () => {
    expect(cohort(annual, '2021-04-20')).toBe('2021-07-23');
    expect(cohort(annual, '2021-06-01')).toBe('2021-07-29');
    expect(cohort(annual, '2021-08-01')).toBe('2021-09-28');
  });

  it('a winter annual of the autumn flowers in the next spring', () => {
    expect(cohort(winterAnnual, '2021-09-10')).toBe('2022-04-30');
    expect(cohort(winterAnnual, '2022-04-20')).toBe('2022-06-19');
  });
});
