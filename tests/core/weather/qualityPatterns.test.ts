import { describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { weatherFindings } from '../../../src/core/weather/quality.ts';
import { flatFindings } from '../../../src/core/weather/qualityFlat.ts';
import { limitProblems } from '../../../src/core/weather/qualityLimits.ts';
import { repeatFindings } from '../../../src/core/weather/qualityRepeat.ts';
import { spikeFindings } from '../../../src/core/weather/qualitySpike.ts';
import type { DailyWeather } from '../../../src/core/weather/schema.ts';
import { randomFrom, sliceOf, vegaWeather } from './samples.ts';

const places = [vegaWeather('Seattle'), vegaWeather('New York')];
const start = dayNumber('2012-01-01');

const changed = (
  weather: DailyWeather,
  name: 'tempMaxC' | 'tempMinC',
  at: number,
  values: readonly number[],
): DailyWeather => ({
  ...weather,
  [name]: weather[name].map((value, i) => (i >= at && i < at + values.length ? (values[i - at] as number) : value)),
});

describe('W10 clean station series (Seattle and New York, 2012-2015)', () => {
  test('at most 2 % of days flagged', () => {
    const flagged = places.flatMap((weather) => weatherFindings(weather, undefined)).length;
    expect(flagged / (2 * 1461)).toBeLessThanOrEqual(0.02);
  });
});

describe('W10 injected gross errors, at least 99 % caught', () => {
  const random = randomFrom(10);
  const pick = () => {
    const weather = places[Math.floor(2 * random())] as DailyWeather;
    const name = random() < 0.5 ? ('tempMaxC' as const) : ('tempMinC' as const);
    return { weather, name, at: 20 + Math.floor(1400 * random()) };
  };

  test('a spike of 20 C on one of 1,000 days', () => {
    let caught = 0;
    for (let k = 0; k < 1000; k++) {
      const { weather, name, at } = pick();
      const value = (weather[name][at] as number) + (random() < 0.5 ? -20 : 20);
      const wrong = sliceOf(changed(weather, name, at, [value]), at - 10, 21);
      const other = name === 'tempMaxC' ? wrong.tempMinC : wrong.tempMaxC;
      const spikes = spikeFindings(wrong[name], other, name, start + at - 10);
      // A highest thrown below the lowest is an error by itself.
      const crossed = limitProblems(wrong).length > 0;
      if (crossed || spikes.some(({ from }) => from === start + at)) caught++;
    }
    expect(caught).toBeGreaterThanOrEqual(990);
  });

  test('10 to 20 equal days, 1,000 times', () => {
    let caught = 0;
    for (let k = 0; k < 1000; k++) {
      const { weather, name, at } = pick();
      const length = 10 + Math.floor(11 * random());
      const stuck = changed(weather, name, at, Array(length).fill(weather[name][at]));
      const [finding] = flatFindings(stuck[name], name, start);
      if (finding && finding.from <= start + at && finding.to >= start + at + length - 1) caught++;
    }
    expect(caught).toBeGreaterThanOrEqual(990);
  });

  test('a month copied into another year: all 36 months of Seattle and New York', () => {
    for (const weather of places)
      for (let month = 0; month < 36; month++) {
        const from = dayNumber(`${2012 + Math.floor(month / 12)}-${String((month % 12) + 1).padStart(2, '0')}-01`);
        const to = dayNumber(`2015-${isoDate(from).slice(5)}`);
        const copy = (column: readonly (number | null)[]) =>
          column.map((value, i) =>
            i >= to - start && i < to - start + 28 ? (column[i - to + from] as number) : value,
          );
        const { startDate, tempMaxC, tempMinC, rainMm } = weather;
        const repeated = { startDate, tempMaxC: copy(tempMaxC), tempMinC: copy(tempMinC), rainMm: copy(rainMm) };
        expect(repeatFindings(repeated)).toMatchObject([{ from: to, given: Number(isoDate(from).slice(0, 4)) }]);
      }
  });
});

describe('W10 edges', () => {
  test('nine equal days are weather, ten are not, and missing days are no run', () => {
    expect(flatFindings(Array(9).fill(5), 'tempMinC', 0)).toEqual([]);
    expect(flatFindings(Array(10).fill(5), 'tempMinC', 0)).toMatchObject([{ from: 0, to: 9, given: 10, limit: 9 }]);
    expect(flatFindings(Array(10).fill(null), 'tempMinC', 0)).toEqual([]);
  });

  test('a front that both temperatures follow is no spike; beside a missing value nothing is said', () => {
    expect(spikeFindings([10, 26, 10], [0, 12, 0], 'tempMaxC', 0)).toEqual([]);
    expect(spikeFindings([10, 26, 10], [0, null, 0], 'tempMaxC', 0)).toMatchObject([
      { code: 'spike', from: 1, given: 16 },
    ]);
    expect(spikeFindings([10, 40, null], [0, 0, 0], 'tempMaxC', 0)).toEqual([]);
  });

  test('a month with a missing day is not compared', () => {
    const column = Array(800)
      .fill(1)
      .map((_, i) => (i % 31 === 0 ? null : i % 7));
    expect(repeatFindings({ startDate: '2012-01-01', tempMaxC: column, tempMinC: column, rainMm: column })).toEqual([]);
  });
});
