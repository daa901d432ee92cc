import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import type { DailyWeather } from '../../../src/core/weather/schema.ts';
import { cut, joined, sound } from '../../../src/sources/live/days.ts';
import { errorOf } from '../../support/weatherWorld.ts';

type Values = readonly (number | null)[];
const series = (startDate: string, max: Values, more: Partial<DailyWeather> = {}): DailyWeather => ({
  startDate,
  tempMaxC: max,
  tempMinC: max.map((value) => (value === null ? null : value - 10)),
  rainMm: max.map(() => 0),
  ...more,
});
const day = dayNumber;

describe('days that are asked for', () => {
  const week = series('2026-06-01', [20, 21, 22, 23, 24, 25, 26], { forecastFrom: '2026-06-05' });

  test('both ends belong to them, the beginning of the forecast stays', () => {
    expect(cut(week, day('2026-06-02'), day('2026-06-03'))).toEqual(
      series('2026-06-02', [21, 22], { forecastFrom: '2026-06-05' }),
    );
  });

  test('beyond what there is, only what there is', () => {
    expect(cut(week, day('2026-05-01'), day('2026-06-01'))?.tempMaxC).toEqual([20]);
    expect(cut(week, day('2026-06-08'), day('2026-06-30'))).toBeNull();
  });

  test('days without any temperature are none', () => {
    expect(cut(series('2026-06-01', [null, null, 20]), day('2026-06-01'), day('2026-06-02'))).toBeNull();
  });
});

describe('what is known after another answer', () => {
  test('observed days of both; where both tell of a day, the later answer counts', () => {
    const known = joined(series('2026-06-01', [20, 21, 22]), series('2026-06-03', [32, 33]));
    expect(known).toEqual(series('2026-06-01', [20, 21, 32, 33]));
  });

  test('a shorter question does not make it forget, a gap between two stays open', () => {
    const known = joined(series('2026-06-01', [20, 21, 22]), series('2026-06-02', [31]));
    expect(known.tempMaxC).toEqual([20, 31, 22]);
    const apart = joined(series('2026-06-05', [25]), series('2026-06-01', [20]));
    expect(apart.tempMaxC).toEqual([20, null, null, null, 25]);
    expect(apart.rainMm).toEqual([0, null, null, null, 0]);
  });

  test('a forecast that was is forgotten, the days that were observed then are not', () => {
    const known = joined(
      series('2026-06-01', [20, 21, 22, 23], { forecastFrom: '2026-06-03' }),
      series('2026-06-04', [33, 34], { forecastFrom: '2026-06-05' }),
    );
    expect(known).toEqual({
      ...series('2026-06-01', [20, 21, null, 33, 34], { forecastFrom: '2026-06-05' }),
      rainMm: [0, 0, null, 0, 0],
    });
    const only = joined(
      series('2026-06-01', [20, 21], { forecastFrom: '2026-06-01' }),
      series('2026-06-02', [31], { forecastFrom: '2026-06-02' }),
    );
    expect(only).toEqual(series('2026-06-02', [31], { forecastFrom: '2026-06-02' }));
  });
});

describe('whether it can be weather', () => {
  const refused = async (weather: DailyWeather) => (await errorOf((async () => sound('test', weather))())).code;

  test.each([
    ['61 C', series('2026-06-01', [20, 61])],
    ['a day of 2 m of rain', series('2026-06-01', [20], { rainMm: [2000] })],
    ['999 mm, which means missing', series('2026-06-01', [20], { rainMm: [999] })],
    ['radiation that the sun does not have', series('2026-06-01', [20], { solarMjPerM2: [90] })],
    ['all days colder at their warmest', series('2026-06-01', [5, 5, 5], { tempMinC: [9, 9, 9] })],
  ])('%s: no', async (_, weather) => {
    expect(await refused(weather)).toBe('source-malformed');
  });

  test('one crossed day in years costs that day its temperatures, not the years', () => {
    const year = series('2025-01-01', Array(365).fill(20), { tempMinC: [...Array(364).fill(10), 25] });
    const { tempMaxC, tempMinC } = sound('test', year);
    expect([tempMaxC[363], tempMaxC[364], tempMinC[364]]).toEqual([20, null, null]);
  });

  test('one in ten crossed is two columns mixed up', async () => {
    expect(await refused(series('2026-06-01', Array(20).fill(20), { tempMinC: [25, 25, ...Array(18).fill(10)] }))).toBe(
      'source-malformed',
    );
  });
});
