import { describe, expect, it } from 'vitest';
import { joined, merged } from '../../src/service/joined.ts';

const series = (startDate: string, values: (number | null)[], more: object = {}) => ({
  startDate,
  tempMaxC: values,
  tempMinC: values.map((v) => (v === null ? null : v - 10)),
  rainMm: values.map((v) => (v === null ? null : 0)),
  ...more,
});

describe('observed and forecast as one series', () => {
  it('an observed day stands, the forecast begins after the last', () => {
    const { startDate, tempMaxC, forecastFrom } = joined(
      series('2026-05-01', [1, 2, 3]),
      series('2026-05-02', [20, 30, 40, 50]),
    );
    expect({ startDate, tempMaxC, forecastFrom }).toEqual({
      startDate: '2026-05-01',
      tempMaxC: [1, 2, 3, 40, 50],
      forecastFrom: '2026-05-04',
    });
  });

  it('where observations end two days ago the forecast’s own past fills in, and counts as forecast', () => {
    const told = joined(series('2026-05-01', [1, null, null]), series('2026-05-02', [20, 30, 40]));
    expect(told.tempMaxC).toEqual([1, 20, 30, 40]);
    expect(told.forecastFrom).toBe('2026-05-02');
  });

  it('a newer forecast goes before the forecast that was posted', () => {
    const posted = series('2026-05-02', [2, 3, 4, 5], { forecastFrom: '2026-05-04' });
    expect(joined(posted, series('2026-05-04', [40, 50])).tempMaxC).toEqual([2, 3, 40, 50]);
  });

  it('what nobody knows stays unknown: a gap between them, rain beyond the last layer', () => {
    const ahead = { ...series('2026-05-06', [60, 70]), rainMm: [1, null] };
    const told = joined(series('2026-05-01', [1, 2, 3]), ahead);
    expect(told.tempMaxC).toEqual([1, 2, 3, null, null, 60, 70]);
    expect(told.rainMm).toEqual([0, 0, 0, null, null, 1, null]);
  });

  it('radiation that only the observations have ends where they end', () => {
    const told = joined(series('2026-05-01', [1, 2, 3], { solarMjPerM2: [9, 8, 7] }), series('2026-05-04', [4]));
    expect(told.solarMjPerM2).toEqual([9, 8, 7, null]);
    expect(told.windMPerS).toBeUndefined();
  });
});

describe('days added to a series', () => {
  it('take the place of those it has, go on after it and before it, and leave a hole as a hole', () => {
    const before = series('2026-05-03', [3, 4]);
    expect(merged(before, series('2026-05-04', [40, 50])).tempMaxC).toEqual([3, 40, 50]);
    expect(merged(before, series('2026-05-07', [7])).tempMaxC).toEqual([3, 4, null, null, 7]);
    expect(merged(before, series('2026-05-01', [1])).startDate).toBe('2026-05-01');
    expect(merged(before, series('2026-05-03', [null])).tempMaxC).toEqual([3, 4]);
  });

  it.each([
    [
      'a day of the forecast that was observed since: the rest stays forecast',
      '2026-05-05',
      1,
      undefined,
      '2026-05-06',
    ],
    ['days before the forecast', '2026-05-01', 2, undefined, '2026-05-05'],
    ['days up to the forecast, sent again', '2026-05-03', 2, undefined, '2026-05-05'],
    ['all of the forecast, observed since', '2026-05-05', 4, undefined, undefined],
    ['days with a forecast of their own', '2026-05-05', 4, '2026-05-07', '2026-05-07'],
    [
      'an observed day amid the forecast: no day before it is told as measured',
      '2026-05-07',
      1,
      undefined,
      '2026-05-05',
    ],
    ['days behind the forecast', '2026-05-12', 2, '2026-05-13', '2026-05-05'],
  ])('leave as forecast what was: %s', (_, startDate, days, forecastFrom, wanted) => {
    const before = series('2026-05-03', [3, 4, 5, 6, 7, 8], { forecastFrom: '2026-05-05' });
    const added = series(startDate, Array(days).fill(20), forecastFrom === undefined ? {} : { forecastFrom });
    expect(merged(before, added).forecastFrom).toBe(wanted);
  });

  it('begin a forecast where there was none', () => {
    const added = series('2026-05-05', [5, 6], { forecastFrom: '2026-05-06' });
    expect(merged(series('2026-05-03', [3, 4]), added).forecastFrom).toBe('2026-05-06');
    expect(merged(series('2026-05-03', [3, 4]), series('2026-05-05', [5])).forecastFrom).toBeUndefined();
  });
});
