import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { civilDay, dayStartMs } from '../../../src/sources/live/days.ts';
import { dailyValues, dayMean, daySum, type Interval, intervals } from '../../../src/sources/live/intervals.ts';
import { errorOf } from '../../support/weatherWorld.ts';

const CHICAGO = 'America/Chicago';
const layer = (...values: (readonly [string, number | null])[]) => ({
  uom: 'wmoUnit:mm',
  values: values.map(([validTime, value]) => ({ validTime, value })),
});
const read = (...values: (readonly [string, number | null])[]) => intervals('test', 'rain', layer(...values));
const sumOn = (date: string, ...values: (readonly [string, number | null])[]) =>
  daySum(read(...values), dayNumber(date), CHICAGO);

describe('civil days', () => {
  test.each([
    ['2026-03-08', 23],
    ['2026-11-01', 25],
    ['2026-06-15', 24],
    ['2028-02-29', 24],
  ])('%s has %d hours in Chicago', (date, hours) => {
    const day = dayNumber(date);
    expect((dayStartMs(day + 1, CHICAGO) - dayStartMs(day, CHICAGO)) / 3_600_000).toBe(hours);
    expect(civilDay(dayStartMs(day, CHICAGO), CHICAGO)).toBe(day);
    expect(civilDay(dayStartMs(day, CHICAGO) - 1, CHICAGO)).toBe(day - 1);
  });
});

describe('sums of a day', () => {
  test('six hours over midnight are shared by time: a third before, two thirds after', () => {
    // Midnight in Chicago is 05:00 UTC in summer.
    const around = [
      ['2026-06-14T05:00:00+00:00/PT22H', 0],
      ['2026-06-15T03:00:00+00:00/PT6H', 9],
      ['2026-06-15T09:00:00+00:00/PT20H', 0],
    ] as const;
    expect(sumOn('2026-06-14', ...around)).toBeCloseTo(3, 12);
    expect(sumOn('2026-06-15', ...around)).toBeCloseTo(6, 12);
  });

  test.each([
    ['2026-03-08', '2026-03-08T06:00:00+00:00/PT23H', 6],
    ['2026-11-01', '2026-11-01T05:00:00+00:00/PT25H', 5],
  ])('%s: its own hours are the whole day, an hour less is not', (date, whole, startHourUtc) => {
    const hours = Number(/PT(\d+)H/.exec(whole)?.[1]);
    expect(sumOn(date, [whole, 7])).toBeCloseTo(7, 12);
    expect(sumOn(date, [`${date}T0${startHourUtc}:00:00Z/PT${hours - 1}H`, 7])).toBeNull();
  });

  test('a day whose last hours are beyond the layer is unknown, not what has come so far', () => {
    const start = '2026-06-15T05:00:00+00:00';
    expect(sumOn('2026-06-15', [`${start}/PT18H`, 4])).toBeNull();
    expect(sumOn('2026-06-15', [`${start}/PT18H`, 4], ['2026-06-15T23:00:00+00:00/PT6H', null])).toBeNull();
    expect(sumOn('2026-06-15', [`${start}/PT18H`, 4], ['2026-06-15T23:00:00+00:00/PT6H', 0])).toBe(4);
  });

  test('no layer, no sum', () => {
    expect(daySum(intervals('test', 'rain', undefined), 0, CHICAGO)).toBeNull();
    expect(daySum(intervals('test', 'rain', { values: [] }), 0, CHICAGO)).toBeNull();
  });

  test('however a whole week is cut into intervals, no drop is lost or made', () => {
    const firstMs = dayStartMs(dayNumber('2026-10-29'), CHICAGO);
    const lastMs = dayStartMs(dayNumber('2026-11-05'), CHICAGO);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 30 }), fc.double({ min: 0, max: 50, noNaN: true }))),
        (cuts) => {
          const list: Interval[] = [];
          let atMs = firstMs;
          for (const [hours, value] of cuts) {
            const endMs = Math.min(lastMs, atMs + hours * 3_600_000);
            if (endMs > atMs) list.push({ startMs: atMs, endMs, value });
            atMs = endMs;
          }
          if (atMs < lastMs) list.push({ startMs: atMs, endMs: lastMs, value: 1 });
          const days = [0, 1, 2, 3, 4, 5, 6].map((i) => daySum(list, dayNumber('2026-10-29') + i, CHICAGO));
          const fell = list.reduce((total, { value }) => total + (value ?? 0), 0);
          expect(days.reduce<number>((total, sum) => total + (sum ?? Number.NaN), 0)).toBeCloseTo(fell, 8);
        },
      ),
    );
  });

  test('a mean weighs by time, and has to have all of the day', () => {
    const list = read(['2026-06-15T05:00:00Z/PT6H', 100], ['2026-06-15T11:00:00Z/PT18H', 60]);
    expect(dayMean(list, dayNumber('2026-06-15'), CHICAGO)).toBeCloseTo(70, 12);
    expect(dayMean(list.slice(1), dayNumber('2026-06-15'), CHICAGO)).toBeNull();
  });
});

describe('one value a day', () => {
  const daysOf = (...values: (readonly [string, number | null])[]) =>
    Object.fromEntries(
      [...dailyValues(read(...values), CHICAGO, Math.max)].map(([day, value]) => [isoDate(day), value]),
    );

  test('the warmest of 7 to 20 h belongs to that day, the coldest of 19 to 9 h to the morning', () => {
    expect(daysOf(['2026-06-15T12:00:00+00:00/PT13H', 27])).toEqual({ '2026-06-15': 27 });
    expect(daysOf(['2026-06-15T00:00:00+00:00/PT14H', 12])).toEqual({ '2026-06-15': 12 });
  });

  test('equal days come merged: P1DT13H is two days of 13 h, P2DT14H three nights', () => {
    expect(daysOf(['2026-06-15T12:00:00+00:00/P1DT13H', 27])).toEqual({ '2026-06-15': 27, '2026-06-16': 27 });
    expect(daysOf(['2026-06-15T00:00:00+00:00/P2DT14H', 12])).toEqual({
      '2026-06-15': 12,
      '2026-06-16': 12,
      '2026-06-17': 12,
    });
  });

  // The layer is cut where the forecast begins: recorded in github.com/MatthewFlamm/pynws, tests/fixtures/gridpoints.json.
  test('the end of a night that has nearly gone is of that morning', () => {
    expect(daysOf(['2022-02-03T13:00:00+00:00/PT1H', 16.1], ['2022-02-04T00:00:00+00:00/PT14H', 17.8])).toEqual({
      '2022-02-03': 16.1,
      '2022-02-04': 17.8,
    });
  });

  test('null is no value', () => {
    expect(daysOf(['2026-06-15T12:00:00+00:00/PT13H', null])).toEqual({});
  });
});

test.each([
  ['2026-06-15/2026-06-14'],
  ['2026-06-15T00:00:00Z'],
  ['2026-06-15T00:00:00Z/PT0H'],
  ['2026-06-15T00:00:00Z/P1Y'],
  ['yesterday/PT6H'],
])('%s is no interval of a forecast', async (validTime) => {
  expect((await errorOf((async () => read([validTime, 1]))())).code).toBe('source-malformed');
});

test('intervals that overlap are refused: their sums would count twice', async () => {
  const twice = async () => read(['2026-06-15T00:00:00Z/PT6H', 1], ['2026-06-15T05:00:00Z/PT6H', 1]);
  expect((await errorOf(twice())).code).toBe('source-malformed');
});
