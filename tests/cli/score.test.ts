import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, expect, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { soil } from '../../src/core/soil/schema.ts';
import { sodCoverFrac } from '../../src/core/soil/sod.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import { site } from '../../src/core/weather/schema.ts';
import { weatherDays } from '../../src/core/weather/weather.ts';
import { folderWith, springRows } from '../support/files.ts';
import { captured } from './capture.ts';

const rows = springRows(230);
const place = site.parse({ latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300 });
const weather = {
  startDate: '2026-01-01',
  tempMaxC: rows.map(({ max }) => max),
  tempMinC: rows.map(({ min }) => min),
  rainMm: rows.map(({ rain }) => rain),
};
const { series } = weatherDays(weather, place);
const simulated = soilDays(series, place, soil.parse({ texture: 'silt-loam' }), sodCoverFrac(0.85, series), []);

/** A thermometer that reads what the model says, less or more. */
const thermometer = (station: string, offsetC: number): string[] =>
  rows.map(({ date, max, min, rain }, i) => {
    const temp = (simulated.temp5MeanC[i] as number) + offsetC;
    const moisture = simulated.waterM3PerM3[1]?.[i] as number;
    return [station, date, max, min, rain, temp, moisture].join(',');
  });

const HEADER = 'station,date,tmax_c,tmin_c,rain_mm,soilT5_c,soilM5_m3m3';
let folder: string;
beforeAll(() => {
  folder = folderWith({
    'probe.csv': [HEADER, ...thermometer('Cold', -1), ...thermometer('Exact', 0), ...thermometer('Warm', 2)].join('\n'),
    'sites.csv': 'station,lat,lon,elev_m\nCold,42,-93.8,300\nExact,42,-93.8,300\nWarm,42,-93.8,300\n',
    'empty.csv': ['date,tmax_c,tmin_c,rain_mm', '2026-01-01,1,0,0'].join('\n'),
  });
});
const file = (name: string): string => join(folder, name);
const scored = (...more: string[]) =>
  captured('score', '--observed', file('probe.csv'), '--sites', file('sites.csv'), ...more);

test('a thermometer that reads 1 C below the model gives bias 1, RMSE 1, unbiased 0, rank 1', () => {
  const { code, out } = scored('--json');
  expect(code).toBe(0);
  const [cold, exact, warm] = JSON.parse(out).stations;
  expect(cold.station).toBe('Cold');
  expect(cold.fits.soilT5_c.n).toBe(106);
  expect(cold.fits.soilT5_c.bias).toBeCloseTo(1, 9);
  expect(cold.fits.soilT5_c.rmse).toBeCloseTo(1, 9);
  expect(cold.fits.soilT5_c.unbiasedRmse).toBeCloseTo(0, 6);
  expect(cold.fits.soilT5_c.rankCorrelation).toBeCloseTo(1, 9);
  expect(exact.fits.soilT5_c.rmse).toBeCloseTo(0, 9);
  expect(warm.fits.soilT5_c.bias).toBeCloseTo(-2, 9);
  expect(exact.fits.soilM5_m3m3.rankCorrelation).toBeCloseTo(1, 9);
});

test('a colder thermometer reaches 100, 200 and 300 C d later, so the model is early', () => {
  const [cold, exact, warm] = JSON.parse(scored('--json').out).stations;
  expect(exact.heatDates.map((d: { errorDays: number }) => d.errorDays)).toEqual([0, 0, 0]);
  for (const { errorDays } of cold.heatDates) expect(errorDays).toBeLessThan(0);
  for (const { errorDays } of warm.heatDates) expect(errorDays).toBeGreaterThan(0);
});

test('the median over stations is the middle one’s: bias 0 of 1, 0 and -2, mean bias -1/3', () => {
  const { median } = JSON.parse(scored('--json').out);
  expect(median.soilT5_c.bias).toBeCloseTo(0, 9);
  expect(median.soilT5_c.rmse).toBeCloseTo(1, 9);
  expect(median.soilT5_c.meanBias).toBeCloseTo(-1 / 3, 9);
  expect(median.soilT5_c.n).toBe(318);
});

test('only the season named is scored: 1 to 10 May is 10 days; without a day there is no score', () => {
  expect(JSON.parse(scored('--json', '--from', '05-01', '--to', '05-10').out).stations[0].fits.soilT5_c.n).toBe(10);
  const { code, out, err } = scored('--json', '--years', '2025');
  expect([code, out]).toEqual([1, '']);
  expect(err).toMatch(/no measured day from 04-01 to 07-15 of 2025[\s\S]*from 2026-01-01, 230 days/);
});

test('CSV: a row for each station, column and heat sum', () => {
  const back = parse(scored('--format', 'csv').out, { columns: true }) as Record<string, string>[];
  expect(back).toHaveLength(3 * (2 + 3));
  expect(Number(back.find((r) => r.station === 'Warm' && r.column === 'soilT5_c')?.bias)).toBeCloseTo(-2, 9);
});

test('what covers the probe is a share or a word, and one form of answer is asked for', () => {
  expect(scored('--cover', 'turf').err).toContain('a number from 0 to 1, grass or bare');
  const both = scored('--json', '--format', 'csv');
  expect([both.code, both.out]).toEqual([1, '']);
  expect(both.err).toContain('--json and --format csv');
  expect(scored('--json', '--format', 'json').code).toBe(0);
});

test('the table names columns, stations and the median', () => {
  const { out } = scored();
  expect(out).toMatch(/soilT5_c +days +bias +RMSE +unbiased +rank r\nCold +106 +1\.00 +1\.00 +0\.00 +1\.00/);
  expect(out).toMatch(/median of the stations +318/);
  expect(out).toMatch(/days late \(\+\) to reach/);
});

test('days in a long hole of the weather are simulated and not scored', () => {
  const hole = thermometer('Hole', 0).map((line) => {
    const day = dayNumber(line.split(',')[1] as string) - dayNumber('2026-05-01');
    return day >= 0 && day < 20 ? line.replace(/^((?:[^,]*,){2})[^,]*,[^,]*,[^,]*/, '$1,,') : line;
  });
  const path = join(folderWith({ 'hole.csv': [HEADER, ...hole].join('\n') }), 'hole.csv');
  const { code, out } = captured('score', '--observed', path, '--lat', '42', '--lon', '-93.8', '--json');
  expect(code).toBe(0);
  const [station] = JSON.parse(out).stations;
  expect(station.fits.soilT5_c.n).toBe(106 - 20);
  expect(station.remarks.join(' ')).toMatch(/20 days without weather/);
});

test('no place, and no soil column, are wrong input: exit 1 with what to do', () => {
  const nowhere = captured('score', '--observed', file('probe.csv'));
  expect(nowhere.code).toBe(1);
  expect(nowhere.err).toMatch(/place of Cold[\s\S]*Give --lat and --lon/);
  const nothing = captured('score', '--observed', file('empty.csv'), '--lat', '42', '--lon', '-93.8');
  expect(nothing.code).toBe(1);
  expect(nothing.err).toMatch(/soilT5_c, soilT10_c/);
});

test('a row of the places that is no place is named', () => {
  const sites = join(folderWith({ 's.csv': 'station,lat,lon\nCold,420,-93.8\n' }), 's.csv');
  const { code, err } = captured('score', '--observed', file('probe.csv'), '--sites', sites);
  expect(code).toBe(1);
  expect(err).toMatch(/row 2\.lat/);
});

test.each([
  [['score'], /--observed/],
  [['score', '--observed', 'x.csv', '--texture', 'gravel'], /silt-loam/],
  [['score', '--observed', 'x.csv', '--cover', '2'], /number from 0 to 1/],
  [['score', '--observed', 'x.csv', '--from', 'April'], /04-01/],
])('%o is wrong use: exit 2 and what is allowed', (args, text) => {
  const { code, err } = captured(...args);
  expect(code).toBe(2);
  expect(err).toMatch(text);
});
