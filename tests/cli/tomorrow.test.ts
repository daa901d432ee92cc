import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { tomorrowAnswer } from '../../src/service/schema.ts';
import { folderWith, springCsv } from '../support/files.ts';
import { captured } from './capture.ts';

const table = captured('tomorrow').out;
const answer = tomorrowAnswer.parse(JSON.parse(captured('tomorrow', '--json').out));
const days = answer.fields.flatMap((field) => field.windowDays);

test('without a file the demo farm is shown, and its first line says that it is invented', () => {
  expect(table.split('\n')[0]).toBe(
    'This farm and its weather are invented: a demonstration, not a forecast for any place.',
  );
  expect(answer.invented).toBe(true);
  expect(answer.today).toBe('2026-05-15');
});

test('no line of the table is wider than 100 columns', () => {
  expect(Math.max(...table.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
});

test('every field, implement and day is there: today and five more', () => {
  for (const field of answer.fields) {
    const tools = new Set(field.windowDays.map(({ implement }) => implement));
    expect(field.windowDays).toHaveLength(6 * tools.size);
    expect(table).toContain(`${field.name}, `);
  }
  expect(JSON.parse(captured('tomorrow', '--json', '--days', '1').out).weather).toHaveLength(2);
});

test('the demo has open and closed days, and at least five different reasons', () => {
  expect(days.some(({ open }) => open)).toBe(true);
  expect(new Set(days.flatMap(({ closed }) => closed.map(({ reason }) => reason))).size).toBeGreaterThanOrEqual(5);
});

test('hours are written in the farm’s own zone: May in Chicago is five hours behind UTC', () => {
  const open = days.filter(({ hours }) => hours !== null);
  expect(open.length).toBeGreaterThan(0);
  for (const { date, hours } of open) {
    expect(hours?.from).toMatch(new RegExp(`^${date}T.*-05:00$`));
    expect(Date.parse(hours?.to ?? '')).toBeGreaterThan(Date.parse(hours?.from ?? ''));
  }
});

test('in the table no flush date stands without the days between which it may fall', () => {
  const lines = table
    .replace(/\n {4}/g, ' ')
    .split('\n')
    .filter((text) => text.includes('Next flush: peaks'));
  expect(lines.length).toBeGreaterThan(0);
  for (const line of lines) {
    // A single day of white threads has one band, several have two.
    expect(line.match(/\(\d+( \w+)? (to \d+ \w+|or later)\)/g)?.length).toBe(/thread [^)]*\) to /.test(line) ? 3 : 2);
    expect(line).not.toMatch(/(peaks|thread|to) \d+ [A-Z][a-z]{2}(?! \(|\))/);
  }
});

test('CSV comes back with a row for each field, implement and day, and the same numbers as JSON', () => {
  const rows = parse(captured('tomorrow', '--format', 'csv').out, { columns: true }) as Record<string, string>[];
  expect(rows).toHaveLength(days.length);
  rows.forEach((row, i) => {
    expect(row.open).toBe(String(days[i]?.open));
    expect(Number(row.killMeanFrac)).toBeCloseTo(days[i]?.kill.mean ?? Number.NaN, 3);
    expect(row.closed).toBe(days[i]?.closed.map(({ reason }) => reason).join(' '));
  });
});

test('US units: names and values change together; 19.5 C is 67.1 F', () => {
  const [metric] = parse(captured('tomorrow', '--format', 'csv').out, { columns: true }) as Record<string, string>[];
  const [us] = parse(captured('tomorrow', '--format', 'csv', '--units', 'us').out, { columns: true }) as Record<
    string,
    string
  >[];
  expect(us).not.toHaveProperty('tempMaxC');
  expect(Number(us?.tempMaxF)).toBeCloseTo(Number(metric?.tempMaxC) * 1.8 + 32, 3);
  expect(Number(us?.rainIn)).toBeCloseTo(Number(metric?.rainMm) / 25.4, 3);
  expect(captured('tomorrow', '--units', 'us').out).toMatch(/highest +\d+ F/);
});

test('from October the demo farm lies in the south, with its own zone', () => {
  const south = JSON.parse(captured('tomorrow', '--today', '2026-11-25', '--json').out);
  expect(south.timeZone).toBe('America/Argentina/Buenos_Aires');
  expect(south.today).toBe('2026-11-25');
});

const own = (...more: string[]) => {
  const path = join(folderWith({ 'my.csv': springCsv(140) }), 'my.csv');
  return captured('tomorrow', '--weather', path, '--lat', '42', '--lon', '-93.8', ...more);
};

test('a row of CSV carries the cautions of its own implement, in the words of JSON', () => {
  const asked = (format: string) => own('--implements', 'flame-broadcast,tine-weeder', '--format', format).out;
  const rows = parse(asked('csv'), { columns: true }) as Record<string, string>[];
  const { fields } = tomorrowAnswer.parse(JSON.parse(asked('json')));
  const cautions = fields.flatMap((field) =>
    field.windowDays.map(({ hazards }) => field.cautions.filter(({ hazard }) => hazards.some((one) => one === hazard))),
  );
  expect(rows.map((row) => row.cautions)).toEqual(cautions.map((of) => of.map(({ text }) => text).join('; ')));
  for (const row of rows) expect(row.cautions?.includes('burn ban')).toBe(row.implement === 'flame-broadcast');
});

test('an own weather file with a few flags: what was assumed is said', () => {
  const { code, out } = own('--crop', 'soybean', '--planted', '2026-05-02');
  expect(code).toBe(0);
  expect(out).not.toContain('invented');
  expect(out).toMatch(/No --texture given: taken as silt-loam/);
  expect(out).toMatch(/No --weeds given/);
  expect(out).toMatch(/hours of America\/Chicago/);
  expect(out).toMatch(/soybean /);
});

test('flags reach the field: weeds, implements, passes and zone', () => {
  const { code, out } = own(
    ...[
      '--weeds',
      'waterhemp:2,giant-foxtail',
      '--implements',
      'tine-weeder',
      '--passes',
      '2026-05-08:tine-weeder:3cm',
    ],
    ...['--zone', 'Europe/Berlin', '--texture', 'Sandy Loam', '--seedbed', '2026-04-20', '--json'],
  );
  expect(code).toBe(0);
  const { timeZone, remarks, fields } = JSON.parse(out);
  expect(timeZone).toBe('Europe/Berlin');
  expect(remarks).toEqual(['No --crop given: windows are for bare ground before planting.']);
  expect(new Set(fields[0].windowDays.map((day: { implement: string }) => day.implement))).toEqual(
    new Set(['tine-weeder']),
  );
});

test('weather that ends today does not hide the wave of seedlings that runs', () => {
  const example = readFileSync(new URL('../../docs/examples/invented-ridge-2026.csv', import.meta.url), 'utf8');
  const [cut = ''] = /^.*\n2026-05-18[^\n]*\n/s.exec(example) ?? [];
  const path = join(folderWith({ 'cut.csv': cut }), 'cut.csv');
  const place = ['--lat', '41.7', '--lon', '-93.1', '--elevation', '290', '--texture', 'silt-loam'];
  const field = ['--crop', 'field-corn', '--planted', '2026-05-08', '--seedbed', '2026-05-07'];
  const weeds = ['--weeds', 'giant-foxtail:2,waterhemp:3,common-lambsquarters'];
  const { code, out } = captured(
    ...['tomorrow', '--weather', path, '--today', '2026-05-18', '--days', '3', ...place, ...field, ...weeds],
  );
  expect(code).toBe(0);
  expect(out).not.toContain('no wave of seedlings');
  expect(out.replace(/\s+/g, ' ')).toMatch(
    /Running flush: most so far on 14 May .*28 % of the year's seedlings by 17 May/,
  );
});

test('an unknown weed, and a day outside the weather, are wrong input', () => {
  const weed = own('--weeds', 'triffid');
  expect(weed.code).toBe(1);
  expect(weed.err).toMatch(/unknown-species[\s\S]*triffid/);
  const late = own('--today', '2027-05-15');
  expect(late.code).toBe(1);
  expect(late.err).toMatch(/weather-too-short/);
});

test('what a weather file leaves open may be said by an option, and the advice names it', () => {
  const folder = folderWith({
    'units.csv': 'date,tmax,tmin_c,rain_mm\n2026-05-01,20,10,0',
    'dates.csv': 'date,tmax_c,tmin_c,rain_mm\n03/04/2026,20,10,0',
    'stations.csv': 'station,date,tmax_c,tmin_c,rain_mm\nA,2026-05-01,20,10,0\nB,2026-05-01,20,10,0',
  });
  const said = (file: string) => captured('tomorrow', '--weather', join(folder, file)).err.replace(/\s+/g, ' ');
  expect(said('units.csv')).toContain('tmax_c or tmax_f, or give --temp-unit and --rain-unit');
  expect(said('dates.csv')).toContain('Write dates as YYYY-MM-DD, or give --date-order mdy or dmy');
  expect(said('stations.csv')).toContain('Keep the rows of one station, or give --station');
});

test('without a place in file or flags it is wrong use', () => {
  const path = join(folderWith({ 'my.csv': springCsv(140) }), 'my.csv');
  const { code, err } = captured('tomorrow', '--weather', path);
  expect(code).toBe(2);
  expect(err).toMatch(/--lat <degrees>/);
});
