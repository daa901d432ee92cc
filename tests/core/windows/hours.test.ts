import { describe, expect, it } from 'vitest';
import { noSky, readSky, type Sky, workHours } from '../../../src/core/windows/hours.ts';
import { column, fineWeather } from '../../support/windows.ts';

const HOUR = 3_600_000;
const sun = { noonMs: 100 * HOUR, riseHour: 6, setHour: 18 };
/** A day from 6 to 18 on which every hour's air is as warm as the hour is late. */
const sky = (change: Partial<Sky> = {}): Sky => ({
  ...noSky(),
  sun,
  airC: Float64Array.from({ length: 24 }, (_, h) => h),
  dewOffHour: 9,
  thawHour: 6,
  ...change,
});
const free = { dewOff: false, afternoonOnly: false, mostTempC: 60, groundThawHour: 0 };
const fromTo = (hours: ReturnType<typeof workHours>) =>
  hours === null ? null : [hours.fromMs / HOUR - 88, hours.toMs / HOUR - 88, hours.count, hours.after, hours.until];

describe('work hours on the clock of the sun: from, to, count, what they wait for and what ends them', () => {
  it.each([
    ['daylight', sky(), free, [6, 18, 12, 'light', 'dark']],
    ['dew off at 9, an hour before sunset it falls again', sky(), { ...free, dewOff: true }, [9, 17, 8, 'dew', 'dew']],
    ['afternoon only', sky(), { ...free, afternoonOnly: true }, [12, 18, 6, 'midday', 'dark']],
    [
      'afternoon only, and dew off at 13',
      sky({ dewOffHour: 13 }),
      { ...free, dewOff: true, afternoonOnly: true },
      [13, 17, 4, 'dew', 'dew'],
    ],
    ['thawed at 8', sky({ thawHour: 8 }), free, [8, 18, 10, 'thaw', 'dark']],
    ['the ground at 11', sky({ thawHour: 8 }), { ...free, groundThawHour: 11 }, [11, 18, 7, 'thaw', 'dark']],
    ['the ground never', sky(), { ...free, groundThawHour: 24 }, null],
    ['2.5 mm of rain take a quarter of the hours', sky({ rainMm: 2.5 }), free, [6, 18, 9, 'light', 'dark']],
    ['10 mm take them all', sky({ rainMm: 10 }), free, null],
    ['above 14 C from 15 on: the morning', sky(), { ...free, mostTempC: 14 }, [6, 15, 9, 'light', 'heat']],
    ['above 18 C from 19 on, after dark', sky(), { ...free, mostTempC: 18 }, [6, 18, 12, 'light', 'dark']],
    ['dew never dries', sky({ dewOffHour: 24 }), { ...free, dewOff: true }, null],
  ])('%s', (_, day, needs, expected) => {
    expect(fromTo(workHours(day, needs))).toEqual(expected);
  });

  it('hot from 8 to 13: the evening is the longer stretch', () => {
    const airC = column(20, 24).fill(35, 8, 13);
    expect(fromTo(workHours(sky({ airC }), { ...free, mostTempC: 30 }))).toEqual([13, 18, 5, 'heat', 'dark']);
  });
});

describe('a day read from the weather', () => {
  const read = (change: Parameters<typeof fineWeather>[0]): Sky => {
    const day = noSky();
    readSky(day, sun, fineWeather(change), 1);
    return day;
  };

  it('dew is off no earlier than 2.5 h after sunrise, however dry the air', () => {
    expect(read({ humidityFrac: column(0.2) }).dewOffHour).toBe(8.5);
  });

  it('without humidity the dew point is the lowest temperature (FAO-56 eq. 48): no deficit at 14 C, 1.96 kPa at 26 C over 12 C', () => {
    // 26 and 12 C: soil-and-machinery G prints VPD 1.9589.
    const day = read({ tempMaxC: column(26), tempMinC: column(12) });
    expect(Math.max(...day.deficitKPa)).toBeGreaterThan(1.93);
    expect(Math.max(...day.deficitKPa)).toBeLessThan(1.9589);
    expect(Math.min(...day.deficitKPa)).toBeLessThan(0.02);
  });

  it('dew stays until the deficit passes 0.3 kPa', () => {
    const day = read({ tempMaxC: column(19), tempMinC: column(14) });
    const first = day.deficitKPa.findIndex((kPa, h) => h >= 8 && kPa > 0.3);
    expect(first).toBeGreaterThan(8);
    expect(day.dewOffHour).toBe(first);
  });

  it('after a frost work waits for air above 0 C', () => {
    const day = read({ tempMaxC: column(10), tempMinC: column(-4) });
    const h = day.thawHour;
    expect(h).toBeGreaterThan(6);
    expect(day.airC[Math.floor(h)]).toBeGreaterThan(0);
    expect(day.airC[Math.floor(h) - 1]).toBeLessThanOrEqual(0);
  });
});
