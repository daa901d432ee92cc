import { describe, expect, it } from 'vitest';
import { weedYearStart } from '../../../src/core/weeds/season.ts';
import { annual, perennial, winterAnnual } from './synthetic.ts';

describe('season', () => {
  it('the weed year begins in spring for annuals and shoots, in autumn for winter annuals that have an autumn', () => {
    expect(weedYearStart(annual)).toBe('03-01');
    expect(weedYearStart(perennial)).toBe('04-01');
    expect(weedYearStart(winterAnnual)).toBe('08-01');
    expect(weedYearStart({ ...annual, lifeForm: 'winterAnnual' })).toBe('03-01');
  });
});
