import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { findingSentence } from '../../src/core/weather/finding.ts';
import { csvWeather } from '../../src/sources/csv.ts';
import { randomFrom, vegaPath, vegaWeather } from '../core/weather/samples.ts';
import { errorOf } from './problems.ts';

const csv = (...lines: string[]): string => lines.join('\n');
const HEADER = 'date,tmax_c,tmin_c,rain_mm';
const one = (text: string, options = {}) => {
  const files = csvWeather(text, options);
  expect(files).toHaveLength(1);
  return files[0] as (typeof files)[0];
};

describe('a plain file', () => {
  test('every value arrives as it stands', () => {
    const file = one(csv(HEADER, '2020-05-01,20.5,10,0', '2020-05-02,21,-1.5,12.3', ''));
    expect(file).toEqual({
      station: null,
      latitudeDeg: null,
      longitudeDeg: null,
      weather: { startDate: '2020-05-01', tempMaxC: [20.5, 21], tempMinC: [10, -1.5], rainMm: [0, 12.3] },
      observed: {},
      findings: [],
    });
  });

  test('days that the file leaves out are null (W1 is decided later)', () => {
    const file = one(csv(HEADER, '2020-05-01,20,10,0', '2020-05-04,,11,1'));
    expect(file.weather.tempMaxC).toEqual([20, null, null, null]);
    expect(file.weather.rainMm).toEqual([0, null, null, 1]);
  });

  test('empty lines, lines of # and rows of commas are skipped, and lines are still counted right', () => {
    const text = csv('# Bob"s station', '', HEADER, ',,,', '2020-05-01,20,10,0', '2020-05-02,x,10,0');
    expect(errorOf(() => csvWeather(text)).problems[0]?.where).toBe('line 6, column tmax_c');
  });

  // The line that spreadsheets write and read: common practice, no source.
  test('a first line that names the delimiter is skipped', () => {
    const text = csv('sep=;', HEADER.replaceAll(',', ';'), '2020-05-01;20,5;10;0');
    expect(one(text).weather.tempMaxC).toEqual([20.5]);
  });

  test('a quoted cell may hold a comma and the end of a line', () => {
    const text = csv(`${HEADER},note`, '2020-05-01,20,10,0,"dry, and', 'warm"', '2020-05-02,x,10,0,""');
    expect(errorOf(() => csvWeather(text)).problems[0]?.where).toBe('line 4, column tmax_c');
  });
});

describe('headers', () => {
  test.each([
    ['tmax_c', 'tmin_c', 'rain_mm'],
    ['tempMaxC', 'tempMinC', 'rainMm'],
    ['TMAX [°C]', 'TMIN [°C]', 'PRCP (mm)'],
    ['Temp Max (deg C)', 'Temp Min (deg C)', 'Precipitation [mm/day]'],
    ['temperature_2m_max (°C)', 'temperature_2m_min (°C)', 'precipitation_sum (mm)'],
    ['max_temp_celsius', 'min_temp_celsius', 'rainfall_mm'],
  ])('%s, %s, %s', (max, min, rain) => {
    const { weather } = one(csv(`Date,${max},${min},${rain}`, '2020-05-01,20,10,2.5'));
    expect([weather.tempMaxC, weather.tempMinC, weather.rainMm]).toEqual([[20], [10], [2.5]]);
  });

  test('Fahrenheit and inches become C and mm: 68 F is 20 C, 50 F is 10 C, 0.1 in is 2.54 mm', () => {
    const { weather } = one(csv('day,Tmax (F),tmin_f,precip_in', '2020-05-01,68,50,0.1'));
    expect(weather.tempMaxC).toEqual([20]);
    expect(weather.tempMinC).toEqual([10]);
    expect(weather.rainMm[0]).toBeCloseTo(2.54, 12);
  });

  test('radiation, wind and humidity: 250 W/m2 is 21.6 MJ/m2, 36 km/h is 10 m/s, 80 % is 0.8', () => {
    const { weather } = one(csv(`${HEADER},solar W/m2,wind_kmh,rh_pct`, '2020-05-01,20,10,0,250,36,80'));
    expect(weather.solarMjPerM2?.[0]).toBeCloseTo(21.6, 12);
    expect(weather.windMPerS?.[0]).toBeCloseTo(10, 12);
    expect(weather.humidityFrac?.[0]).toBeCloseTo(0.8, 12);
  });

  test('year with month and day, and year with day of the year', () => {
    const parts = one(csv('year,month,day,tmax_c,tmin_c,rain_mm', '2020,2,29,9,1,0', '2020,3,1,9,1,0'));
    expect(parts.weather).toMatchObject({ startDate: '2020-02-29', tempMaxC: [9, 9] });
    const ordinal = one(csv('YEAR,DOY,tmax_c,tmin_c,rain_mm', '2020,60,9,1,0', '2020,61,9,1,0'));
    expect(ordinal.weather).toMatchObject({ startDate: '2020-02-29', tempMaxC: [9, 9] });
    expect(errorOf(() => csvWeather(csv('year,doy,tmax_c,tmin_c,rain_mm', '2019,366,9,1,0'))).code).toBe(
      'weather-date',
    );
  });

  test('without a unit nothing is guessed: the error tells what to write', () => {
    const text = csv('DATE,TMAX,TMIN,PRCP', '2020-05-01,20,10,1');
    const error = errorOf(() => csvWeather(text));
    expect(error.problems.map(({ code, where }) => `${code} ${where}`)).toEqual([
      'weather-unit column TMAX',
      'weather-unit column TMIN',
      'weather-unit column PRCP',
    ]);
    expect(error.message).toContain('TMAX_c or TMAX_f');
    const given = one(text, { units: { temp: 'C', rain: 'mm' } });
    expect(given.weather).toMatchObject({ tempMaxC: [20], tempMinC: [10], rainMm: [1] });
  });

  test('the unit of the header goes before the option', () => {
    const { weather } = one(csv(HEADER, '2020-05-01,20,10,1'), { units: { temp: 'F', rain: 'in' } });
    expect(weather).toMatchObject({ tempMaxC: [20], rainMm: [1] });
  });

  test('tenths: -99 is -9.9 C and 999 is 99.9 mm, no marks', () => {
    const text = csv('DATE,TMAX,TMIN,PRCP', '2020-01-01,15,-99,999', '2020-01-02,-9999,-120,0');
    const { weather } = one(text, { units: { temp: '0.1C', rain: '0.1mm' } });
    expect(weather).toMatchObject({ tempMaxC: [1.5, null], tempMinC: [-9.9, -12], rainMm: [99.9, 0] });
  });

  test('no usable column: lists those seen and those needed', () => {
    const error = errorOf(() => csvWeather(csv('a,b', '1,2')));
    expect(error.problems.map(({ code, where }) => `${code} ${where}`)).toEqual([
      'weather-column dates',
      'weather-column tempMaxC',
      'weather-column tempMinC',
      'weather-column rainMm',
    ]);
    expect(error.message).toContain('columns a, b');
    expect(error.message).toContain('tmax, tempmax');
  });

  test('two columns for the same thing are an error', () => {
    const error = errorOf(() => csvWeather(csv('date,tmax_c,tmax_f,tmin_c,rain_mm', '2020-05-01,20,68,10,0')));
    expect(error.problems).toMatchObject([{ code: 'weather-column', where: 'tempMaxC', allowed: 'one column only' }]);
  });
});

describe('other delimiters', () => {
  test('semicolon with decimal comma, tab with decimal point, a BOM is no part of the name', () => {
    const semicolon = one(csv('datum;tmax_c;tmin_c;rain_mm', '01.05.2020;20,5;-1,5;0', '31.05.2020;21;10;2,5'));
    expect(semicolon.weather.tempMaxC[0]).toBe(20.5);
    expect(semicolon.weather.tempMinC[0]).toBe(-1.5);
    expect(semicolon.weather.startDate).toBe('2020-05-01');
    expect(one(csv(HEADER.replaceAll(',', '\t'), '2020-05-01\t20.5\t10\t0')).weather.tempMaxC).toEqual([20.5]);
  });

  test('with commas between cells a decimal comma is an error, not another column', () => {
    expect(errorOf(() => csvWeather(csv(HEADER, '2020-05-01,20,5,10,0'))).problems).toMatchObject([
      { code: 'weather-format', where: 'line 2', given: '5 cells', allowed: '4 cells, as the first line has' },
    ]);
    expect(errorOf(() => csvWeather(csv(HEADER, '2020-05-01,"20,5",10,0'))).code).toBe('weather-format');
  });

  test('a row cut off and a quote that never ends are named with their line', () => {
    expect(errorOf(() => csvWeather(csv(HEADER, '2020-05-01,20,10,0', '2020-05-02,2'))).problems[0]).toMatchObject({
      code: 'weather-format',
      where: 'line 3',
      given: '2 cells',
    });
    const open = errorOf(() => csvWeather(csv(HEADER, '2020-05-01,"20,10,0', '2020-05-02,20,10,0')));
    expect(open.problems[0]?.code).toBe('weather-format');
    expect(open.problems[0]?.where).toMatch(/^line \d+$/);
  });
});

describe('W2 a day twice', () => {
  test('same values: once, with a note', () => {
    const file = one(csv(HEADER, '2020-05-01,20,10,0', '2020-05-01,20,10,0', '2020-05-02,21,11,1'));
    expect(file.weather.tempMaxC).toEqual([20, 21]);
    expect(file.findings.map(findingSentence)).toEqual([
      '2020-05-01: The same day with the same values stood in the file 2 times; one was kept.',
    ]);
  });

  test('different values: an error that lists both rows', () => {
    const error = errorOf(() => csvWeather(csv(HEADER, '2020-05-01,20,10,0', '2020-05-02,1,0,0', '2020-05-01,22,10,')));
    expect(error.code).toBe('weather-duplicate');
    expect(error.message).toContain('2020-05-01: given two rows that differ (line 2: 20, 10, 0; line 4: 22, 10, )');
  });
});

describe('W3 rows in any order', () => {
  test('1,000 shuffles of a file give byte for byte the answer of the sorted one', () => {
    const rows = readFileSync(vegaPath, 'utf8')
      .split('\n')
      .filter((line) => /^New York,2012-0[1-3]/.test(line));
    const read = (lines: readonly string[]) =>
      JSON.stringify(
        csvWeather(csv('location,date,precipitation,temp_max,temp_min,wind,weather', ...lines), {
          units: { temp: 'C', rain: 'mm' },
        }),
      );
    const sorted = read(rows);
    const random = randomFrom(3);
    for (let trial = 0; trial < 1000; trial++) {
      const shuffled = [...rows];
      for (let i = shuffled.length - 1; i > 0; i--) {
        const j = Math.floor((i + 1) * random());
        [shuffled[i], shuffled[j]] = [shuffled[j] as string, shuffled[i] as string];
      }
      if (read(shuffled) !== sorted) expect.fail(`shuffle ${trial} differs`);
    }
    expect(rows).toHaveLength(91);
  }, 30_000);
});

describe('W4 and W9 with their lines', () => {
  test('unsorted rows keep their own line numbers', () => {
    const text = csv(HEADER, '2020-05-02,20,10,-1', '2020-05-01,10,15,0', '2020-05-03,20,-91,0');
    expect(errorOf(() => csvWeather(text)).problems.map(({ code, where }) => `${code} ${where}`)).toEqual([
      'weather-crossed line 3, column tmin_c',
      'weather-range line 2, column rain_mm',
      'weather-range line 4, column tmin_c',
    ]);
  });

  test('W6 a value above 60 C names Fahrenheit', () => {
    const error = errorOf(() => csvWeather(csv(HEADER, '2020-07-01,86,66,0')));
    expect(error.problems.map(({ code }) => code)).toEqual(['weather-fahrenheit', 'weather-fahrenheit']);
    expect(error.problems[0]?.advice).toContain('tmax_f');
  });
});

describe('everything at once', () => {
  const header = 'date,tmax_f,tmin_f,rain_in';

  test('text, dates, days twice and values that cannot be of the rows that can be read, each with its line', () => {
    const text = csv(
      ...[header, '2026-05-01,70,50,0', '2026-05-01,70.5,50,T', '2026-05-33,70,50,0', '2026-05-02,x,50,0'],
      ...['2026-05-03,70,50,-1', '2026-05-04,50,70,0', '2026-05-05,300,50,0', '2026-05-06,70,50'],
    );
    const { problems } = errorOf(() => csvWeather(text));
    expect(problems.map(({ code, where, given }) => [code, where, given])).toEqual([
      ['weather-format', 'line 5, column tmax_f', 'x'],
      ['weather-format', 'line 9', '3 cells'],
      ['weather-date', 'line 4', 'date 2026-05-33'],
      ['weather-duplicate', '2026-05-01', 'two rows that differ (line 2: 70, 50, 0; line 3: 70.5, 50, 0.001969)'],
      ['weather-range', 'line 6, column rain_in', '-1 in'],
      ['weather-crossed', 'line 7, column tmin_f', 'lowest 70 F above highest 50 F'],
      ['weather-range', 'line 8, column tmax_f', '300 F'],
    ]);
    expect(problems.slice(-3).map(({ allowed }) => allowed)).toEqual([
      '0 to 74.8 in',
      'at most 0.5 C (0.9 F) of crossing',
      '-130 to 140 F',
    ]);
  });

  test('of several stations, those of each', () => {
    const text = csv(`station,${header}`, 'B,2026-05-01,x,50,0', 'A,2026-05-01,300,50,0', 'C,2026-05-33,70,50,0');
    expect(errorOf(() => csvWeather(text)).problems.map(({ where }) => where)).toEqual([
      'line 2, column tmax_f',
      'line 4',
      'line 3, column tmax_f',
    ]);
  });

  test('rows of which none has a day or its cells', () => {
    expect(errorOf(() => csvWeather(csv(header, '2026-05-33,70,50,0'))).problems).toHaveLength(1);
    expect(errorOf(() => csvWeather(csv(header, '2026-05-01,70'))).code).toBe('weather-format');
    const unclear = errorOf(() => csvWeather(csv(header, '03/04/2026,x,50,0')));
    expect(unclear.problems.map(({ code }) => code)).toEqual(['weather-format', 'weather-date']);
  });

  test('a value that was named in Fahrenheit is not advised to be', () => {
    const range = (column: string, cell: string) =>
      errorOf(() => csvWeather(csv(`date,${column},tmin_c,rain_mm`, `2026-05-01,${cell},10,0`))).problems[0];
    expect(range('tmax_f', '150')).toMatchObject({ code: 'weather-range', given: '150 F', allowed: '-130 to 140 F' });
    expect(range('tmax_c', '86')).toMatchObject({ code: 'weather-fahrenheit', given: '86 C', allowed: '-90 to 60 C' });
  });

  test.each([
    ['rain_cm', '200', '200 cm', '0 to 190 cm'],
    ['rain_mm', '-0.5', '-0.5 mm', '0 to 1900 mm'],
    ['rain_0.1mm', '20000', '20000 tenths of mm', '0 to 19000 tenths of mm'],
  ])('%s: told as it was sent', (column, cell, given, allowed) => {
    const text = csv(`date,tmax_c,tmin_c,${column}`, `2026-05-01,20,10,${cell}`);
    expect(errorOf(() => csvWeather(text)).problems).toMatchObject([{ given, allowed }]);
  });

  test.each([
    ['humidity_pct', '120', '120 %', '0 to 100 %'],
    ['humidity', '-1', '-1', '0 to 1'],
    ['wind_mph', '200', '200 mph', '0 to 134.2 mph'],
    ['solar_w_m2', '1000', '1000 W/m2', '0 to 578.7 W/m2'],
  ])('%s: the same', (column, cell, given, allowed) => {
    const unit = column === 'humidity' ? 'humidity_frac' : column;
    const text = csv(`${HEADER},${unit}`, `2026-05-01,20,10,0,${cell}`);
    expect(errorOf(() => csvWeather(text)).problems).toMatchObject([{ given, allowed }]);
  });
});

describe('W5 marks for missing', () => {
  const marks = [
    '-9999',
    '-9999.0',
    '-99.9',
    '-99',
    '999',
    '9999',
    '-999',
    'M',
    'm',
    '',
    'null',
    'NaN',
    'NA',
    '1e999',
    '-1e999',
  ];

  test('10,000 injected marks: none enters as a number', () => {
    const random = randomFrom(5);
    const columns = ['tmax_c', 'tmin_c', 'rain_mm', 'solar_mj_m2', 'wind_m_s', 'humidity_pct'];
    const injected: [number, number][] = [];
    const lines = Array.from({ length: 3334 }, (_, row) => {
      const cells = ['20', '10', '5', '15', '3', '70'];
      for (let k = 0; k < 3; k++) {
        const column = (row + k * 2 + Math.floor(2 * random())) % 6;
        cells[column] = marks[Math.floor(marks.length * random())] as string;
        injected.push([row, column]);
      }
      return `${new Date(row * 86_400_000).toISOString().slice(0, 10)},${cells.join(',')}`;
    });
    const { weather, findings } = one(csv(`date,${columns.join(',')}`, ...lines));
    const read = [
      weather.tempMaxC,
      weather.tempMinC,
      weather.rainMm,
      weather.solarMjPerM2,
      weather.windMPerS,
      weather.humidityFrac,
    ];
    expect(injected.length).toBeGreaterThanOrEqual(10_000);
    expect(injected.filter(([row, column]) => read[column]?.[row] !== null)).toEqual([]);
    const expected = [20, 10, 5, 15, 3, 0.7];
    read.forEach((column, c) => {
      expect([...new Set(column)].filter((value) => value !== null)).toEqual([expected[c]]);
    });
    expect(findings.map(({ code }) => code)).toEqual(Array(6).fill('missing-marker'));
  });

  test('T is 0.05 mm of rain, and missing anywhere else; both are noted with their count', () => {
    const { weather, findings } = one(csv(HEADER, '2020-05-01,20,10,T', '2020-05-02,T,10,t'));
    expect(weather.rainMm).toEqual([0.05, 0.05]);
    expect(weather.tempMaxC).toEqual([20, null]);
    expect(findings.map(({ code, column, given, limit }) => [code, column, given, limit])).toEqual([
      ['missing-marker', 'tmax_c', 1, null],
      ['trace', 'rain_mm', 2, 0.05],
    ]);
    expect(findings.map(findingSentence).at(-1)).toContain('2 trace(s) of rain count as 0.05 mm (0.002 in) each');
  });

  test('other text is an error with line and column, up to fifty', () => {
    const rows = Array.from({ length: 60 }, (_, i) => `2020-05-01,${i}x,10,0`);
    const { problems } = errorOf(() => csvWeather(csv(HEADER, ...rows)));
    expect(problems).toHaveLength(50);
    expect(problems[0]).toMatchObject({ code: 'weather-format', where: 'line 2, column tmax_c', given: '0x' });
  });
});

describe('flags beside values, as GHCN-Daily has them as CSV (documentation of the archive: measurement, quality, source)', () => {
  const flagged = csv(
    '"STATION","DATE","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN"',
    '"USW1","2026-05-01","10",",,W","250",",I,W","100"',
    '"USW1","2026-05-02","0","T,,W","260",",,W","100"',
    '"USW1","2026-05-03","","T,,W","",",,","90"',
  );

  test('what failed the check of the archive is missing, a trace is 0.05 mm, a source changes nothing', () => {
    const { weather, findings } = one(flagged, { units: { temp: '0.1C', rain: '0.1mm' } });
    expect(weather).toMatchObject({ tempMaxC: [null, 26, null], tempMinC: [10, 10, 9], rainMm: [1, 0.05, null] });
    expect(findings.map(({ code, column, given }) => [code, column, given])).toEqual([
      ['trace', 'PRCP', 1],
      ['failed-quality', 'TMAX', 1],
    ]);
  });
});

describe('other columns', () => {
  const text = csv(
    'station,lat,lon,date,tmax_c,tmin_c,rain_mm,soilT5_c,soilT5_max_c,soilM5_m3m3,note',
    'A,42.1,-93.6,2020-05-01,20,10,0,12.5,15,0.31,dry',
    'A,42.1,-93.6,2020-05-03,20,10,0,-9999,16,,9',
  );

  test('numbers come along by their own names, day by day', () => {
    const file = one(text);
    expect(file.observed).toEqual({
      soilT5_c: [12.5, null, null],
      soilT5_max_c: [15, null, 16],
      soilM5_m3m3: [0.31, null, null],
    });
    expect(file).toMatchObject({ station: 'A', latitudeDeg: 42.1, longitudeDeg: -93.6 });
  });

  test('columns of text, and wind without a unit, are left out with a note', () => {
    expect(one(text).findings.map(({ code, column }) => `${code} ${column}`)).toEqual([
      'missing-marker soilT5_c',
      'column-unused note',
    ]);
    const files = csvWeather(readFileSync(vegaPath, 'utf8'), { units: { temp: 'C', rain: 'mm' } });
    expect(files.map(({ station }) => station)).toEqual(['New York', 'Seattle']);
    expect(files[0]?.findings.map(({ code, column }) => `${code} ${column}`)).toEqual([
      'column-unused wind',
      'column-unused weather',
    ]);
  });

  test('a station that says no place, or none that can be, has none', () => {
    expect(one(csv('station,lat,lon,date,tmax_c,tmin_c,rain_mm', 'A,,999,2020-05-01,20,10,0'))).toMatchObject({
      latitudeDeg: null,
      longitudeDeg: null,
    });
  });
});

test('several stations: a series each, by name, whatever the order of rows (vega-datasets, New York and Seattle)', () => {
  const files = csvWeather(readFileSync(vegaPath, 'utf8'), { units: { temp: 'C', rain: 'mm' } });
  expect(files[0]?.weather).toEqual(vegaWeather('New York'));
  expect(files[1]?.weather).toEqual(vegaWeather('Seattle'));
});

describe('nothing in it', () => {
  test('a header and no rows', () => {
    expect(errorOf(() => csvWeather(HEADER)).code).toBe('weather-empty');
    expect(errorOf(() => csvWeather(`${HEADER}\n\n,,,\n`)).code).toBe('weather-empty');
  });

  test('only comments, or no text', () => {
    for (const text of ['', '# nothing', '\n,,\n'])
      expect(errorOf(() => csvWeather(text)).problems.map(({ code }) => code)).toEqual(['weather-empty']);
  });

  test('days 70 years apart are more than a series', () => {
    expect(errorOf(() => csvWeather(csv(HEADER, '1930-01-01,1,0,0', '2000-01-01,1,0,0'))).code).toBe(
      'weather-too-large',
    );
  });
});
