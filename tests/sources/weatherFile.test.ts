import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { csvWeather } from '../../src/sources/csv.ts';
import { MOST_BYTES, textOf } from '../../src/sources/text.ts';
import { isTenths, plain, type Unit, unitOf } from '../../src/sources/units.ts';
import { readWeatherFile, weatherFiles } from '../../src/sources/weatherFile.ts';
import { vegaPath } from '../core/weather/samples.ts';
import { errorOf } from './problems.ts';

const folder = mkdtempSync(join(tmpdir(), 'weather-'));
afterAll(() => rmSync(folder, { recursive: true }));
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const CSV = 'date,tmax_c,tmin_c,rain_mm\n2020-05-01,20,10,0\n';
const WEATHER = { startDate: '2020-05-01', tempMaxC: [20], tempMinC: [10], rainMm: [0] };

describe('which kind of file', () => {
  test('CSV, the own JSON and GHCN-Daily are told by their content', () => {
    const dly = ['TMAX  200', 'TMIN  100', 'PRCP    0'].map((text) => `USX00000001202005${text}`).join('\n');
    for (const text of [CSV, ` ${JSON.stringify(WEATHER)}`, dly])
      expect(weatherFiles(bytes(text))[0]?.weather).toEqual(WEATHER);
  });

  test('from disk, with options', () => {
    const files = readWeatherFile(vegaPath, { units: { temp: 'C', rain: 'mm' } });
    expect(files.map(({ weather }) => weather.tempMaxC.length)).toEqual([1461, 1461]);
  });

  test('no such file, and a folder: named with the path', () => {
    for (const path of [join(folder, 'none.csv'), folder]) {
      const error = errorOf(() => readWeatherFile(path));
      expect(error.problems).toMatchObject([{ code: 'file-unreadable', where: path }]);
    }
  });
});

describe('JSON', () => {
  test('broken JSON, a wrong shape and a mark for missing are named', () => {
    expect(errorOf(() => weatherFiles(bytes('{"startDate":'))).code).toBe('weather-format');
    expect(errorOf(() => weatherFiles(bytes('[1]'))).code).toBe('invalid-input');
    const short = errorOf(() => weatherFiles(bytes(JSON.stringify({ ...WEATHER, rainMm: [0, 1] }))));
    expect(short.message).toContain('weather.rainMm');
    const mark = errorOf(() => weatherFiles(bytes(JSON.stringify({ ...WEATHER, rainMm: [999] }))));
    expect(mark.message).toContain('weather.rainMm[0] (2020-05-01): given 999');
    expect(
      errorOf(() => weatherFiles(bytes('{"startDate":"2020-05-01","tempMaxC":[1e999],"tempMinC":[1],"rainMm":[0]}')))
        .code,
    ).toBe('invalid-input');
    expect(errorOf(() => weatherFiles(bytes(JSON.stringify({ ...WEATHER, tempMinC: [21] })))).code).toBe(
      'weather-crossed',
    );
  });
});

describe('encoding and size', () => {
  test('a BOM of UTF-8 is fine', () => {
    expect(weatherFiles(Uint8Array.of(0xef, 0xbb, 0xbf, ...bytes(CSV)))[0]?.weather).toEqual(WEATHER);
  });

  test.each([
    ['UTF-16, little end first', Uint8Array.of(0xff, 0xfe, 0x64, 0x00), 'byte 0'],
    ['UTF-16, big end first', Uint8Array.of(0xfe, 0xff, 0x00, 0x64), 'byte 0'],
    ['UTF-16 without its mark', Uint8Array.of(0x64, 0, 0x61, 0, 0x74, 0), 'byte 1'],
    ['a NUL byte', Uint8Array.of(...bytes('date'), 0, ...bytes(',tmax')), 'byte 4'],
    ['Latin-1: a degree sign of one byte', Uint8Array.of(...bytes('date,tmax ('), 0xb0, ...bytes('C)')), 'byte 11'],
    ['a letter cut in two at the end', Uint8Array.of(...bytes('date'), 0xc3), 'byte 4'],
  ])('%s: named with the place of the byte and what to do', (_, wrong, where) => {
    const error = errorOf(() => textOf(wrong as Uint8Array));
    expect(error.problems).toMatchObject([{ code: 'weather-encoding', where, advice: 'Save the file again as UTF-8' }]);
  });

  test('wherever the wrong byte stands among letters of one to four bytes, it is found', () => {
    const letters = [...'aä€😀b'.repeat(8)].map((letter) => bytes(letter));
    for (let i = 0; i < letters.length; i++)
      for (const wrong of [[0xf6], [0x80], [0xc3], [0xe2, 0x82]]) {
        const before = letters.slice(0, i).flatMap((letter) => [...letter]);
        const after = letters.slice(i).flatMap((letter) => [...letter]);
        const [problem] = errorOf(() => textOf(Uint8Array.from([...before, ...wrong, ...after]))).problems;
        // A letter that is cut short is found at the byte that does not go on with it.
        const at = before.length + (wrong[0] === 0xc3 || wrong.length === 2 ? wrong.length : 0);
        expect([at, before.length]).toContain(Number(problem?.where.slice('byte '.length)));
      }
  });

  test('an empty file, and one of blanks', () => {
    expect(errorOf(() => weatherFiles(bytes(''))).code).toBe('weather-empty');
    expect(errorOf(() => weatherFiles(bytes(' \n\r\n'))).code).toBe('weather-empty');
  });

  test('30 MB are refused before a byte is read, one byte less is read', () => {
    const path = join(folder, 'large.csv');
    writeFileSync(path, CSV);
    truncateSync(path, MOST_BYTES);
    const start = performance.now();
    expect(errorOf(() => readWeatherFile(path)).problems).toMatchObject([
      { code: 'weather-too-large', given: '30.0 MB' },
    ]);
    expect(performance.now() - start).toBeLessThan(200);
    truncateSync(path, MOST_BYTES - 1);
    // The padding is of NUL bytes.
    expect(errorOf(() => readWeatherFile(path)).code).toBe('weather-encoding');
    expect(errorOf(() => weatherFiles(new Uint8Array(MOST_BYTES))).code).toBe('weather-too-large');
  });

  test('a file of several pieces (3 MB) is read whole, lines counted through', () => {
    const row = (station: number, day: number) =>
      `S${station},${new Date(day * 86_400_000).toISOString().slice(0, 10)},20.5,10.5,1.25`;
    const lines = Array.from({ length: 100_000 }, (_, i) => row(Math.floor(i / 20_000), i % 20_000));
    const text = `station,date,tmax_c,tmin_c,rain_mm\n${lines.join('\n')}`;
    const files = csvWeather(text);
    expect(files.map(({ weather }) => weather.tempMaxC.length)).toEqual(Array(5).fill(20_000));
    expect(errorOf(() => csvWeather(`${text}\nS9,2020-01-01,x,1,1`)).problems[0]?.where).toBe(
      'line 100002, column tmax_c',
    );
  }, 30_000);
});

describe('units', () => {
  test('the examples of the doc comments', () => {
    expect(unitOf('temp', 'F')?.toOurs(212)).toBe(100);
    expect(plain('Solar (MJ/m²)')).toBe('solarmjm2');
    expect(unitOf('rain', 'furlong')).toBeUndefined();
    const isTenthsIn = (quantity: 'temp' | 'rain', unit: string) => isTenths(unitOf(quantity, unit) as Unit);
    expect([isTenthsIn('temp', '0.1C'), isTenthsIn('rain', '0.1mm'), isTenthsIn('rain', 'mm')]).toEqual([
      true,
      true,
      false,
    ]);
  });

  test.each([
    ['rain', 'cm', 1, 10],
    ['solar', 'kWh/m2', 1, 3.6],
    ['wind', 'mph', 10, 4.4704],
    ['wind', 'knots', 10, 5.14444],
    ['humidity', '%', 55, 0.55],
  ] as const)('%s: in %s, %f is %f', (quantity, unit, value, expected) => {
    expect(unitOf(quantity, unit)?.toOurs(value)).toBeCloseTo(expected, 5);
    expect(unitOf(quantity, unit)?.fromOurs(expected)).toBeCloseTo(value, 4);
  });
});
