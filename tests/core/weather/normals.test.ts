import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { filled, gaps } from '../../../src/core/weather/filled.ts';
import { findingCodes, findingSentence } from '../../../src/core/weather/finding.ts';
import { normal } from '../../../src/core/weather/normals.ts';
import { zonalMeanC, zonalSdC } from '../../../src/core/weather/zonal.ts';

describe('what is usual', () => {
  test('of three years the two others count: 10 and 20 give 15', () => {
    const column = [...Array(365).fill(10), ...Array(365).fill(null), ...Array(365).fill(20)];
    expect(normal(column, dayNumber('2017-01-01'), dayNumber('2018-07-01'))).toBe(15);
  });

  test('across New Year: 1 January takes the last days of December too', () => {
    const column = [...Array(10).fill(4), ...Array(11).fill(8), ...Array(400).fill(null)];
    expect(normal(column, dayNumber('2017-12-22'), dayNumber('2019-01-01'))).toBeCloseTo((40 + 88) / 21, 12);
  });

  test('29 February has a usual from common years', () => {
    expect(normal(Array(365).fill(3), dayNumber('2019-01-01'), dayNumber('2020-02-29'))).toBe(3);
  });

  test('of nothing known it is not a number', () => {
    expect(normal([null, null], 0, 1)).toBeNaN();
  });

  test('the examples of the doc comments', () => {
    expect(normal([1, 3, null, 5], 0, 2)).toBe(3);
    expect(gaps([1, null, 3, null])).toEqual([
      { first: 1, last: 1, fill: 'interpolated' },
      { first: 3, last: 3, fill: 'climatology' },
    ]);
    expect(Array.from(filled([1, null, 3], gaps([1, null, 3]), 0))).toEqual([1, 2, 3]);
    expect(zonalMeanC(42, 200)).toBeCloseTo(23.4, 1);
    expect(zonalSdC(42, 200)).toBe(5);
  });

  test('north and south mirror each other half a year apart', () => {
    expect(zonalMeanC(-40, 17)).toBeCloseTo(zonalMeanC(40, 17 + 182.625), 10);
  });
});

describe('sentences', () => {
  test('every finding has one, with its dates and without gaps', () => {
    for (const code of findingCodes) {
      const finding = { code, severity: 'note', from: 0, to: 1, column: 'rainMm', given: 12.345, limit: 3 } as const;
      const text = findingSentence(finding);
      expect(text).toMatch(/^1970-01-01 to 1970-01-02: [A-Z0-9a-z].*\.$|^1970-01-01 to 1970-01-02: .*\?$/);
      expect(text).not.toMatch(/undefined|null|NaN/);
    }
  });

  test('the example of the doc comment', () => {
    expect(
      findingSentence({ code: 'flat', severity: 'warning', from: 0, to: 10, column: 'tempMaxC', given: 11, limit: 9 }),
    ).toBe(
      '1970-01-01 to 1970-01-11: tempMaxC is the same on 11 days in a row (more than 9 is unusual). Check the sensor.',
    );
    expect(
      findingSentence({ code: 'spike', severity: 'note', from: 0, to: 0, column: null, given: null, limit: 11 }),
    ).toBe('1970-01-01: weather stands none off its neighbours (more than 11 C (19.8 F) is unusual). Check the value.');
    const small = {
      code: 'rain-small',
      severity: 'warning',
      from: 0,
      to: 0,
      column: 'rainMm',
      given: 2.54,
      limit: 4,
    } as const;
    expect(findingSentence(small)).toContain('largest day 2.54 mm (0.1 in)');
  });
});
