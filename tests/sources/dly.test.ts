import { describe, expect, test } from 'vitest';
import { dlyWeather, isDly } from '../../src/sources/dly.ts';
import { errorOf } from './problems.ts';

const STATION = 'USX00000001';

type Cell = number | string;
const cellText = (cell: Cell): string =>
  typeof cell === 'number' ? `${String(cell).padStart(5)}   ` : cell.padStart(5).padEnd(8);
/** A line of the fixed form; days that are not given are missing. A cell of text may carry its flags, as in `  123 X `. */
const line = (month: string, element: string, cells: Cell[], station = STATION): string =>
  `${station}${month}${element}${Array.from({ length: 31 }, (_, i) => cellText(cells[i] ?? -9999)).join('')}`;

const june = (...more: string[]): string =>
  [
    line('202006', 'TMAX', [250, 261]),
    line('202006', 'TMIN', [-15, 102]),
    line('202006', 'PRCP', [0, 127]),
    ...more,
  ].join('\n');

describe('GHCN-Daily', () => {
  test('tenths become C and mm; a line has 269 characters', () => {
    expect(june().split('\n')[0]).toHaveLength(269);
    const [file] = dlyWeather(june());
    expect(file).toEqual({
      station: STATION,
      latitudeDeg: null,
      longitudeDeg: null,
      weather: { startDate: '2020-06-01', tempMaxC: [25, 26.1], tempMinC: [-1.5, 10.2], rainMm: [0, 12.7] },
      observed: {},
      findings: [],
    });
  });

  test('a value with a quality flag is left out, with a note', () => {
    const text = june().replace('  261   ', '  261 X ');
    const [file] = dlyWeather(text);
    expect(file?.weather.tempMaxC).toEqual([25, null]);
    expect(file?.findings).toMatchObject([{ code: 'failed-quality', column: 'TMAX', given: 1 }]);
  });

  test('a trace of rain is 0.05 mm, with a note; a source flag changes nothing', () => {
    const text = june().replace('    0   ', '    0T 7').replace('  250   ', '  250  7');
    const [file] = dlyWeather(text);
    expect(file?.weather.rainMm[0]).toBe(0.05);
    expect(file?.weather.tempMaxC[0]).toBe(25);
    expect(file?.findings).toMatchObject([{ code: 'trace', column: 'PRCP', given: 1, limit: 0.05 }]);
  });

  test('days of the next month do not spill: 31 June is nothing', () => {
    const text = june()
      .split('\n')
      .map((text) => `${text.slice(0, 261)}   99   `)
      .join('\n');
    expect(dlyWeather(text)[0]?.weather.tempMaxC).toHaveLength(2);
  });

  test('months in any order, months left out are null', () => {
    const months = ['TMAX', 'TMIN', 'PRCP'].map((element) => line('202008', element, [100]));
    const [file] = dlyWeather([...months, june()].join('\n'));
    expect(file?.weather.tempMaxC).toHaveLength(62);
    expect(file?.weather.tempMaxC[30]).toBeNull();
    expect(file?.weather.tempMaxC[61]).toBe(10);
  });

  test('blank flags cut off at the end of a line, other elements and empty lines are fine', () => {
    const cut = june(line('202006', 'SNWD', [0]))
      .split('\n')
      .map((text) => text.trimEnd());
    expect(dlyWeather(`${cut.join('\r\n')}\r\n\r\n`)[0]?.weather.tempMaxC).toEqual([25, 26.1]);
  });

  test('several stations, by name', () => {
    const other = ['TMAX', 'TMIN', 'PRCP'].map((element) => line('202006', element, [50], 'USA00000009'));
    expect(dlyWeather(june(...other)).map(({ station }) => station)).toEqual(['USA00000009', STATION]);
  });

  test('bad lines, double lines, crossed days and missing elements are named', () => {
    expect(errorOf(() => dlyWeather(june('rubbish'))).problems).toMatchObject([
      { code: 'weather-format', where: 'line 4', given: 'rubbish' },
    ]);
    expect(errorOf(() => dlyWeather(june(line('202006', 'TMAX', [251])))).problems).toMatchObject([
      { code: 'weather-duplicate', where: `${STATION}, TMAX, 2020-06-01`, given: '25 and 25.1' },
    ]);
    expect(dlyWeather(june(line('202006', 'TMAX', [250])))[0]?.weather.tempMaxC).toEqual([25, 26.1]);
    expect(errorOf(() => dlyWeather(june().replace('  -15', '  300'))).problems).toMatchObject([
      { code: 'weather-crossed', where: `${STATION}, TMIN, 2020-06-01` },
    ]);
    expect(errorOf(() => dlyWeather(line('202006', 'TMAX', [250]))).problems).toMatchObject([
      { code: 'weather-column', given: 'no values of TMIN, PRCP' },
    ]);
  });

  test('is told by its first line', () => {
    expect(isDly(june())).toBe(true);
    expect(isDly('date,tmax_c,tmin_c,rain_mm')).toBe(false);
    expect(isDly('')).toBe(false);
  });
});
