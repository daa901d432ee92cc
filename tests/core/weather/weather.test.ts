import { describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { isWhitethreadError, type WhitethreadError } from '../../../src/core/base/errors.ts';
import { findingSentence } from '../../../src/core/weather/finding.ts';
import { type DailyWeather, dayOrigins } from '../../../src/core/weather/schema.ts';
import { weatherDays } from '../../../src/core/weather/weather.ts';
import { siteAt, sliceOf, vegaWeather } from './samples.ts';

const site = siteAt(41);
const newYork = vegaWeather('New York');

const errorOf = (run: () => unknown): WhitethreadError => {
  try {
    run();
  } catch (error) {
    if (isWhitethreadError(error)) return error;
  }
  throw new Error('no WhitethreadError was thrown');
};

type Cut = { readonly tempMaxC?: boolean; readonly tempMinC?: boolean; readonly rainMm?: boolean };
const allColumns: Cut = { tempMaxC: true, tempMinC: true, rainMm: true };

/** The series without its days first to last. */
const without = (weather: DailyWeather, first: number, last: number, cut: Cut = allColumns): DailyWeather => {
  const column = (name: keyof Cut) =>
    weather[name].map((value, i) => (cut[name] && i >= first && i <= last ? null : value));
  return { ...weather, tempMaxC: column('tempMaxC'), tempMinC: column('tempMinC'), rainMm: column('rainMm') };
};

const originsOf = (series: { readonly origin: Uint8Array }) => Array.from(series.origin, (index) => dayOrigins[index]);
const codes = (findings: readonly { readonly code: string }[]) => findings.map(({ code }) => code);

const oneYear = sliceOf(newYork, 0, 365);

describe('W1 missing days', () => {
  test('none missing: every value passes as it is and every day is observed', () => {
    const { series, findings } = weatherDays(newYork, site);
    expect(Array.from(series.tempMaxC)).toEqual(newYork.tempMaxC);
    expect(Array.from(series.tempMinC)).toEqual(newYork.tempMinC);
    expect(Array.from(series.rainMm)).toEqual(newYork.rainMm);
    expect(new Set(originsOf(series))).toEqual(new Set(['observed']));
    expect(findings).toEqual([]);
  });

  test.each([1, 2, 3])('a gap of %i day(s) is drawn as a line and flagged', (length) => {
    const { series, findings } = weatherDays(without(oneYear, 100, 99 + length), site);
    const [before, after] = [oneYear.tempMaxC[99] as number, oneYear.tempMaxC[100 + length] as number];
    for (let k = 1; k <= length; k++) {
      expect(series.tempMaxC[99 + k]).toBeCloseTo(before + ((after - before) * k) / (length + 1), 12);
      expect(originsOf(series)[99 + k]).toBe('interpolated');
    }
    expect(originsOf(series).filter((origin) => origin !== 'observed')).toHaveLength(length);
    expect(codes(findings)).toEqual(['interpolated', 'interpolated', 'interpolated']);
    expect(findings[0]).toMatchObject({
      severity: 'note',
      from: dayNumber('2012-04-10'),
      to: dayNumber('2012-04-10') + length - 1,
      given: length,
      limit: 3,
    });
  });

  test.each([4, 7, 10])('a gap of %i days gets the same days of the other years and a warning', (length) => {
    const first = 366 + 100;
    const { series, findings } = weatherDays(without(newYork, first, first + length - 1), site);
    // 11 April 2013, 10 days either side, in 2012, 2014 and 2015, by hand.
    const window = ['2012-04-11', '2014-04-11', '2015-04-11'].flatMap((date) => {
      const centre = dayNumber(date) - dayNumber('2012-01-01');
      return newYork.rainMm.slice(centre - 10, centre + 11) as number[];
    });
    expect(window).toHaveLength(63);
    expect(series.rainMm[first]).toBeCloseTo(window.reduce((a, b) => a + b, 0) / 63, 12);
    expect(originsOf(series).filter((origin) => origin === 'climatology')).toHaveLength(length);
    expect(findings.map(({ code, severity }) => `${code} ${severity}`)).toEqual(Array(3).fill('climatology warning'));
    expect(findings.map(findingSentence)[2]).toContain('drizzle');
  });

  test('with no other year a gap of 5 days gets the mean of the 15 days either side', () => {
    const summer = sliceOf(newYork, 150, 60);
    const { series } = weatherDays(without(summer, 30, 34, { tempMaxC: true }), site);
    const around = [...summer.tempMaxC.slice(15, 30), ...summer.tempMaxC.slice(35, 50)] as number[];
    const [a, b] = [around.slice(0, 15), around.slice(15)];
    expect(around).toHaveLength(30);
    expect(series.tempMaxC[32]).toBeCloseTo([...a, ...b].reduce((x, y) => x + y, 0) / 30, 12);
  });

  test('more than 10 observed days missing: an error that names the dates', () => {
    const error = errorOf(() => weatherDays(without(oneYear, 100, 110), site));
    expect(error.code).toBe('weather-gap');
    expect(error.problems.map(({ where }) => where)).toEqual([
      'weather.tempMaxC',
      'weather.tempMinC',
      'weather.rainMm',
    ]);
    expect(error.message).toContain('11 missing days from 2012-04-10 to 2012-04-20; allowed at most 10');
  });

  test('in the forecast a gap of 40 days goes on with climatology and says degraded', () => {
    const weather = { ...without(newYork, 1400, 1440), forecastFrom: isoDate(dayNumber('2012-01-01') + 1390) };
    const { series, findings } = weatherDays(weather, site);
    expect(originsOf(series).slice(1388, 1402)).toEqual([
      ...Array(2).fill('observed'),
      ...Array(10).fill('forecast'),
      ...Array(2).fill('climatology'),
    ]);
    expect(findings.map(({ code, severity, given }) => `${code} ${severity} ${given}`)).toEqual(
      Array(3).fill('degraded warning 41'),
    );
    expect(series.tempMaxC.every(Number.isFinite)).toBe(true);
  });

  test('a gap across today counts its observed days only: 10 are filled, 11 are an error', () => {
    const at = (observed: number): DailyWeather => ({
      ...without(oneYear, 200, 230),
      forecastFrom: isoDate(dayNumber('2012-01-01') + 200 + observed),
    });
    expect(codes(weatherDays(at(10), site).findings)).toEqual(Array(3).fill(['climatology', 'degraded']).flat());
    expect(errorOf(() => weatherDays(at(11), site)).code).toBe('weather-gap');
  });

  test('missing days at the start and the end have no second neighbour: climatology, however few', () => {
    const weather = without(without(newYork, 0, 1), 1459, 1460);
    const origins = originsOf(weatherDays(weather, site).series);
    expect([...origins.slice(0, 3), ...origins.slice(-3)]).toEqual([
      'climatology',
      'climatology',
      'observed',
      'observed',
      'climatology',
      'climatology',
    ]);
  });

  test('a column without any value is an error, not a year of guesses', () => {
    const error = errorOf(() => weatherDays(without(oneYear, 0, 365, { rainMm: true }), site));
    expect(error.problems.map(({ code, where }) => `${code} ${where}`)).toEqual(['weather-empty weather.rainMm']);
    const none = errorOf(() => weatherDays({ startDate: '2020-01-01', tempMaxC: [], tempMinC: [], rainMm: [] }, site));
    expect(none.code).toBe('weather-empty');
  });

  test('a filled temperature gives way where it would cross a measured one', () => {
    const tempMaxC = [10, null, 10, 20, 20];
    const tempMinC = [5, 14, 5, null, 3];
    const { series } = weatherDays({ startDate: '2020-05-01', tempMaxC, tempMinC, rainMm: [0, 0, 0, 0, 0] }, site);
    expect(Array.from(series.tempMaxC)).toEqual([10, 14, 10, 20, 20]);
    expect(series.tempMinC[3]).toBe(4);
    const low = weatherDays(
      { startDate: '2020-05-01', tempMaxC: [20, 2, 20], tempMinC: [12, null, 12], rainMm: [0, 0, 0] },
      site,
    );
    expect(low.series.tempMinC[1]).toBe(2);
  });

  test('optional columns are NaN where nothing was measured', () => {
    const weather = { ...sliceOf(newYork, 0, 3), windMPerS: [2, null, 3] };
    const { series } = weatherDays(weather, site);
    expect(Array.from(series.windMPerS)).toEqual([2, Number.NaN, 3]);
    expect(Array.from(series.solarMjPerM2)).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });

  test('the input is left as it was', () => {
    const weather = without(oneYear, 100, 105);
    const copy = structuredClone(weather);
    weatherDays(weather, site);
    expect(weather).toEqual(copy);
  });
});

const threeDays = (max: number, min: number, rain = 0): DailyWeather => ({
  startDate: '2020-05-01',
  tempMaxC: [18, max, 19],
  tempMinC: [8, min, 9],
  rainMm: [0, rain, 0],
});

describe('W4 lowest above highest', () => {
  test.each([0.1, 0.5])('by %f C: exchanged, with a note', (by) => {
    const { series, findings } = weatherDays(threeDays(15, 15 + by), site);
    expect([series.tempMaxC[1], series.tempMinC[1]]).toEqual([15 + by, 15]);
    expect(findings).toMatchObject([{ code: 'crossed', severity: 'note', from: dayNumber('2020-05-02'), limit: 0.5 }]);
  });

  test.each([0.6, 12])('by %f C: an error with row and date', (by) => {
    const error = errorOf(() => weatherDays(threeDays(10, 10 + by), site));
    expect(error.code).toBe('weather-crossed');
    expect(error.message).toContain('weather.tempMinC[1] (2020-05-02)');
  });
});

describe('W9 physical limits', () => {
  test.each([
    ['rain below 0', threeDays(18, 8, -0.1), 'weather-range'],
    ['rain above 1,900 mm', threeDays(18, 8, 1900.1), 'weather-range'],
    ['rain of exactly 999 mm, a mark for missing', threeDays(18, 8, 999), 'weather-range'],
    ['highest above 140', threeDays(141, 8), 'weather-range'],
    ['lowest below -90', threeDays(18, -90.1), 'weather-range'],
    ['61 C, which is a mild winter day in Fahrenheit', threeDays(61, 8), 'weather-fahrenheit'],
    ['no number', threeDays(Number.NaN, 8), 'weather-range'],
  ])('%s is an error with row and date', (_, weather, code) => {
    const error = errorOf(() => weatherDays(weather, site));
    expect(error.code).toBe(code);
    expect(error.message).toContain('[1] (2020-05-02)');
  });

  test('the records pass: 56.7 C, -89.2 C and 1,825 mm in a day (from memory)', () => {
    const july = { ...threeDays(56.7, 30, 1825), startDate: '2020-07-09' };
    expect(() => weatherDays(july, siteAt(36.5))).not.toThrow();
    expect(() =>
      weatherDays({ ...threeDays(-60, -89.2), tempMaxC: [-60, -60, -60], tempMinC: [-80, -89.2, -80] }, siteAt(-78)),
    ).not.toThrow();
  });

  test('a crossed day, a value that cannot be and a gap that is too long are told at once', () => {
    const gap = without(oneYear, 100, 110, { rainMm: true });
    const weather = {
      ...gap,
      tempMaxC: gap.tempMaxC.map((value, i) => (i === 200 ? 141 : value)),
      tempMinC: gap.tempMinC.map((value, i) => (i === 300 ? 40 : value)),
    };
    const error = errorOf(() => weatherDays(weather, site));
    expect(error.problems.map(({ code, where }) => `${code} ${where}`)).toEqual([
      'weather-gap weather.rainMm',
      'weather-range weather.tempMaxC[200] (2012-07-19)',
      'weather-crossed weather.tempMinC[300] (2012-10-27)',
    ]);
    const empty = errorOf(() => weatherDays({ ...weather, rainMm: weather.rainMm.map(() => null) }, site));
    expect(codes(empty.problems)).toEqual(['weather-empty', 'weather-range', 'weather-crossed']);
  });

  test('of a series too warm to be Celsius a fault in the rain hides nothing, and a day beyond 60 C says it', () => {
    const warm = (max: number, rain: number) => ({
      startDate: '2020-03-01',
      tempMaxC: [50, max, 52],
      tempMinC: [40, 41, 42],
      rainMm: [0, rain, 0],
    });
    const told = (max: number, rain: number) => codes(errorOf(() => weatherDays(warm(max, rain), site)).problems);
    expect(told(51, -1)).toEqual(['weather-range', 'weather-fahrenheit']);
    expect(told(61, -1)).toEqual(['weather-fahrenheit', 'weather-range']);
  });

  test('a value is told as it was given, however large or small', () => {
    const given = (weather: DailyWeather) => errorOf(() => weatherDays(weather, site)).problems.map((p) => p.given);
    expect(given(threeDays(1e308, 8))).toEqual(['1e+308 C']);
    expect(given(threeDays(18, 8, -1e-7))).toEqual(['-1e-7 mm']);
  });

  test('of a thousand bad rows the first fifty are listed', () => {
    const bad = Array(1000).fill(-100);
    const error = errorOf(() =>
      weatherDays(
        { startDate: '2020-01-01', tempMaxC: Array(1000).fill(5), tempMinC: bad, rainMm: Array(1000).fill(0) },
        site,
      ),
    );
    expect(error.problems).toHaveLength(50);
  });
});

describe('W8 dates', () => {
  const week = sliceOf(newYork, 100, 7);
  const last = dayNumber('2012-04-16');

  test('an observed day after today is an error; up to today it is none', () => {
    const error = errorOf(() => weatherDays(week, site, last - 1));
    expect(error.code).toBe('weather-date');
    expect(error.message).toContain('observed days up to 2012-04-16; allowed observed days up to today, 2012-04-15');
    expect(() => weatherDays(week, site, last)).not.toThrow();
  });

  test('the same days are fine as a forecast', () => {
    const { series } = weatherDays({ ...week, forecastFrom: '2012-04-14' }, site, dayNumber('2012-04-13'));
    expect(originsOf(series)).toEqual([...Array(4).fill('observed'), ...Array(3).fill('forecast')]);
  });

  test('a forecast that starts before the weather is an error (start after end)', () => {
    expect(errorOf(() => weatherDays({ ...week, forecastFrom: '2012-04-01' }, site)).code).toBe('weather-date');
  });

  test.each(['1850-01-01', '2101-01-01', '20250-01-01'])('a series from %s is an error', (startDate) => {
    expect(errorOf(() => weatherDays({ ...week, startDate }, site)).code).toBe('weather-date');
  });

  test('a forecast of 3 days ago is said to be old, one of 2 days ago is not', () => {
    const weather = { ...week, forecastFrom: '2012-04-13' };
    const old = weatherDays(weather, site, dayNumber('2012-04-16')).findings;
    expect(old).toMatchObject([{ code: 'forecast-old', severity: 'warning', given: 3, limit: 2 }]);
    expect(weatherDays(weather, site, dayNumber('2012-04-15')).findings).toEqual([]);
  });
});
