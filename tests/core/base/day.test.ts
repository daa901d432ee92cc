import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  dayNumber,
  dayOfYear,
  daysOfYear,
  instantMs,
  isoDate,
  monthDayIn,
  yearOf,
} from '../../../src/core/base/day.ts';

const anyDay = fc.integer({ min: dayNumber('1900-01-01'), max: dayNumber('2100-12-31') });

describe('a civil date as a day number', () => {
  test('1970-01-01 is 0, 2000-03-01 is 11,017, 1969-12-31 is -1', () => {
    expect([dayNumber('1970-01-01'), dayNumber('2000-03-01'), dayNumber('1969-12-31')]).toEqual([0, 11_017, -1]);
  });

  test('goes there and back on every day of 1900 to 2100', () => {
    fc.assert(fc.property(anyDay, (day) => dayNumber(isoDate(day)) === day));
  });

  test('days of the year of a run are those of its days, over any new year', () => {
    fc.assert(
      fc.property(anyDay, fc.integer({ min: 0, max: 800 }), (start, days) => {
        expect([...daysOfYear(start, days)]).toEqual(Array.from({ length: days }, (_, i) => dayOfYear(start + i)));
      }),
    );
  });

  test('2000 has a 29 February, 1900 and 2100 have none (Gregorian calendar)', () => {
    expect(isoDate(dayNumber('2000-02-28') + 1)).toBe('2000-02-29');
    expect(isoDate(dayNumber('1900-02-28') + 1)).toBe('1900-03-01');
    expect(isoDate(dayNumber('2100-02-28') + 1)).toBe('2100-03-01');
  });

  test('the year has 365 or 366 days, and day 366 is 31 December of a leap year', () => {
    expect(dayOfYear(dayNumber('2024-12-31'))).toBe(366);
    expect(dayOfYear(dayNumber('2023-12-31'))).toBe(365);
    expect(dayOfYear(dayNumber('1969-12-31'))).toBe(365);
    fc.assert(fc.property(anyDay, (day) => dayOfYear(day) >= 1 && dayOfYear(day) <= 366));
  });

  test('a month and day of a year: 29 February is 28 February in a common year', () => {
    expect(isoDate(monthDayIn(2023, '02-29'))).toBe('2023-02-28');
    expect(isoDate(monthDayIn(2024, '02-29'))).toBe('2024-02-29');
    expect(isoDate(monthDayIn(2024, '12-31'))).toBe('2024-12-31');
    expect(yearOf(monthDayIn(1969, '12-31'))).toBe(1969);
  });

  test('a month and day is the one of the platform calendar, at most the last of the month', () => {
    const monthDay = fc.tuple(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 31 }));
    fc.assert(
      fc.property(fc.integer({ min: 1900, max: 2100 }), monthDay, (year, [month, day]) => {
        const found = monthDayIn(year, [month, day].map((part) => String(part).padStart(2, '0')).join('-'));
        return found * 86_400_000 === Math.min(Date.UTC(year, month - 1, day), Date.UTC(year, month, 0));
      }),
      { numRuns: 2000 },
    );
  });

  test('an instant is the day at a UTC hour, fractions and negative hours too', () => {
    expect(instantMs(1, 1.5)).toBe(86_400_000 + 5_400_000);
    expect(instantMs(0, -6)).toBe(-21_600_000);
  });
});
