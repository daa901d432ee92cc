import { describe, expect, it } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { firstOn, hemisphereMonthDay, latestOn, weedYearStart } from '../../../src/core/weeds/season.ts';
import { annual, perennial, winterAnnual } from './synthetic.ts';

describe('season', () => {
  it('1 March is 1 September in the south, 1 August 1 February', () => {
    expect(hemisphereMonthDay('03-01', true)).toBe('09-01');
    expect(hemisphereMonthDay('08-01', true)).toBe('02-01');
    expect(hemisphereMonthDay('06-15', true)).toBe('12-15');
    expect(hemisphereMonthDay('12-31', true)).toBe('06-31');
    expect(hemisphereMonthDay('03-01', false)).toBe('03-01');
  });

  it('latest and first day with a date, on the day itself and across the year', () => {
    const day = dayNumber('2021-03-01');
    expect(latestOn('03-01', day)).toBe(day);
    expect(latestOn('03-02', day)).toBe(dayNumber('2020-03-02'));
    expect(firstOn('03-01', day)).toBe(day);
    expect(firstOn('02-28', day)).toBe(dayNumber('2022-02-28'));
    expect(firstOn('06-31', day)).toBe(dayNumber('2021-06-30'));
  });

  it('the weed year begins in spring for annuals and shoots, in autumn for winter annuals that have an autumn', () => {
    expect(weedYearStart(annual)).toBe('03-01');
    expect(weedYearStart(perennial)).toBe('04-01');
    expect(weedYearStart(winterAnnual)).toBe('08-01');
    expect(weedYearStart({ ...annual, lifeForm: 'winterAnnual' })).toBe('03-01');
  });
});
