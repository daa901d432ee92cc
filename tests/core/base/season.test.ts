import { describe, expect, it } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { firstOn, hemisphereMonthDay, latestOn } from '../../../src/core/base/season.ts';

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
});
