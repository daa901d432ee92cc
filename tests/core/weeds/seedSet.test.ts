import { describe, expect, it } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { seedSetDeadline, standingDeadline } from '../../../src/core/weeds/seedSet.ts';
import { annual, winterAnnual } from './synthetic.ts';

const deadline = (date: string, southern = false, species = annual) =>
  isoDate(seedSetDeadline(species, dayNumber(date), southern));
/** Of plants that came up on one day, on the morning after it. */
const cohort = (species: typeof annual, date: string) =>
  isoDate(standingDeadline(species, Float64Array.of(1), dayNumber(date), dayNumber(date) + 1, false).day);

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

describe('plants of one day', () => {
  it('an early plant has the same, one of 1 June flowers 40 days later, on 11 July', () => {
    expect(cohort(annual, '2021-04-20')).toBe('2021-07-23');
    expect(cohort(annual, '2021-06-01')).toBe('2021-07-29');
    expect(cohort(annual, '2021-08-01')).toBe('2021-09-28');
  });

  it('what comes up too late for its year sets no seed: the last that does is of 3 November, the next was told for January', () => {
    expect(cohort(annual, '2021-11-03')).toBe('2021-12-31');
    expect(cohort(annual, '2021-11-04')).toBe('2021-07-23');
    expect(cohort(winterAnnual, '2022-07-01')).toBe('2022-04-30');
  });

  it('a winter annual of the autumn flowers in the next spring', () => {
    expect(cohort(winterAnnual, '2021-09-10')).toBe('2022-04-30');
    expect(cohort(winterAnnual, '2022-04-20')).toBe('2022-06-19');
  });
});

describe('standingDeadline', () => {
  const START = dayNumber('2021-04-01');
  /** What stands on 1 August, by the date on which it came up. */
  const of = (standing: Readonly<Record<string, number>>, today = '2021-08-01') => {
    const fracs = new Float64Array(dayNumber(today) - START);
    for (const [date, frac] of Object.entries(standing)) fracs[dayNumber(date) - START] = frac;
    const { day, pastFrac } = standingDeadline(annual, fracs, START, dayNumber(today), false);
    return [isoDate(day), pastFrac];
  };

  it('that of the oldest', () => {
    expect(of({ '2021-04-20': 0.1, '2021-06-01': 0.3 }, '2021-07-01')).toEqual(['2021-07-23', 0]);
    expect(of({ '2021-06-01': 0.3, '2021-06-20': 0.3 }, '2021-07-01')).toEqual(['2021-07-29', 0]);
  });

  it('of a few old plants among young ones that of the young, 40 + 18 days after they came up; the few are past', () => {
    const [date, pastFrac] = of({ '2021-04-20': 0.01, '2021-07-10': 0.19, '2021-07-20': 0.1 });
    expect(date).toBe('2021-09-06');
    expect(pastFrac).toBeCloseTo(1 / 30, 12);
  });

  it('late ones that set none count as what stands, not towards the date', () => {
    const [date, pastFrac] = of({ '2021-04-20': 0.1, '2021-11-10': 0.1 }, '2021-12-01');
    expect(date).toBe('2021-07-23');
    expect(pastFrac).toBeCloseTo(0.5, 12);
  });

  it('where more are old, a day that is past, for so many', () => {
    const [date, pastFrac] = of({ '2021-04-20': 0.1, '2021-07-10': 0.3 });
    expect(date).toBe('2021-07-23');
    expect(pastFrac).toBeCloseTo(0.25, 12);
  });

  it('where nothing stands, that of early plants of the year', () => {
    expect(of({})).toEqual(['2021-07-23', 0]);
  });
});
