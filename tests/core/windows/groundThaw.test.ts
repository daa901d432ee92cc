import { describe, expect, test } from 'vitest';
import { groundThawHour } from '../../../src/core/windows/groundThaw.ts';
import { bean, drySoil, firstDay, hoe, standing } from '../../support/windows.ts';

/** Every day of five the same: below 0 until an hour, then as warm as that until another. */
const thawing = (hour: number, until = 20) =>
  drySoil({
    frozen: new Uint8Array(5).fill(1),
    temp5MinC: new Float64Array(5).fill(-0.4),
    seedZoneTempC: Float64Array.from({ length: 5 * 24 }, (_, i) => (i % 24 >= hour && i % 24 < until ? 8 : -1)),
  });

/** Below 0 until an hour, then half a degree warmer with each. */
const risingFrom = (hour: number) => Float64Array.from({ length: 5 * 24 }, (_, i) => ((i % 24) - hour) / 2 + 0.5);

describe('the hour from which there is no frost in the ground', () => {
  test.each([
    ['a day without frost', drySoil(), 0],
    ['frost of the night, gone at 9', thawing(9), 9],
    ['frost again in the evening', thawing(7, 18), 7],
    ['half a degree at 9, warmer with each hour', { ...thawing(12), seedZoneTempC: risingFrom(9) }, 9],
    ['frost all day', thawing(24), 24],
  ])('%s', (_, soil, hour) => expect(groundThawHour(soil, 1)).toBe(hour));
});

describe('a hoe on a day after frost', () => {
  const day = (hour: number, loosensGroundFrac = 1) =>
    firstDay({
      soil: thawing(hour),
      crops: [{ crop: bean(), days: standing(2) }],
      implements: [hoe({ dewOff: false }, { loosensGroundFrac })],
    });

  test('waits for the thaw, not for the next day', () => {
    expect(day(10)).toMatchObject({ open: true, hours: { after: 'thaw' } });
    expect(day(10).hours?.count).toBeLessThan(day(8).hours?.count ?? 0);
  });

  test('is closed where the frost leaves it less than two hours, and a tool above ground is not', () => {
    expect(day(18)).toMatchObject({
      open: false,
      closed: [{ reason: 'soil-frozen', given: -0.4, limit: 0, unit: 'C' }],
    });
    expect(day(24).closed.map(({ reason }) => reason)).toEqual(['soil-frozen']);
    expect(day(24, 0).open).toBe(true);
  });
});
