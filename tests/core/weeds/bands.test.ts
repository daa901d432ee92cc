import { describe, expect, it } from 'vitest';
import { plusMinusDays } from '../../../src/core/weeds/bands.ts';
import { annual } from './synthetic.ts';

describe('plusMinusDays', () => {
  it('is what was measured elsewhere for 50 %: 11 days', () => {
    expect(plusMinusDays(annual, 0.5, 42)).toBe(11);
  });

  it('grows with 90 % and between: sqrt(12^2 + 11^2 - 8^2) = 14.2, so 15; 70 %: sqrt(10^2 + 57) = 12.6, so 13', () => {
    expect(plusMinusDays(annual, 0.9, 42)).toBe(15);
    expect(plusMinusDays(annual, 0.7, 42)).toBe(13);
    expect(plusMinusDays(annual, 0.99, 42)).toBe(15);
  });

  it('grows beyond 39 and 47 degrees, either hemisphere: sqrt(11^2 + 6^2) = 12.6, so 13', () => {
    for (const latitude of [38.9, 47.1, -38, 65]) expect(plusMinusDays(annual, 0.5, latitude)).toBe(13);
    for (const latitude of [39, 47, -42]) expect(plusMinusDays(annual, 0.5, latitude)).toBe(11);
  });
});
