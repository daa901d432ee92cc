import { dayNumber, isoDate } from '../core/base/day.ts';
import { type Problem, whitethreadError } from '../core/base/errors.ts';
import { type NeededColumn, neededColumns } from '../core/weather/columns.ts';
import type { FindingCode, WeatherFinding } from '../core/weather/finding.ts';
import { limitProblems } from '../core/weather/qualityLimits.ts';
import { TRACE_MM } from './cells.ts';
import type { WeatherFile } from './contract.ts';
import { columnsOf, type Row } from './rows.ts';
import { unitOf } from './units.ts';

/** Station 1-11, year 12-15, month 16-17, element 18-21, then 31 times value (5) and three flags. */
const LINE = /^([A-Z0-9_-]{11})(\d{4})(0[1-9]|1[0-2])([A-Z0-9]{4})((?:[ \d-]{5}.{3}){1,31})$/;
const FIRST_VALUE = 21;
const WIDTH = 8;
const MISSING = -9999;

const elements = ['TMAX', 'TMIN', 'PRCP'];

/** Whether a text is in the fixed form, by its first line. */
export const isDly = (text: string): boolean => LINE.test(padded(text.split(/\r?\n/, 1)[0] ?? ''));

/** Blank flags at the end of a line are often cut off; the form itself has 269 columns. */
const padded = (line: string): string => {
  const cells = Math.ceil((line.length - FIRST_VALUE) / WIDTH);
  return line.padEnd(FIRST_VALUE + WIDTH * Math.max(0, cells), ' ');
};

type Station = {
  readonly name: string;
  readonly days: Map<number, { line: number; values: number[] }>;
  readonly failed: number[];
  readonly traces: number[];
};

const newStation = (name: string): Station => ({ name, days: new Map(), failed: [0, 0, 0], traces: [0, 0, 0] });

/** One value with its flags, C or mm; NaN where it is missing or failed the source's own check. */
const cellValue = (cell: string, element: number, station: Station): number => {
  const raw = Number(cell.slice(0, 5));
  const [measurement, quality] = [cell[5], cell[6]];
  if (cell.slice(0, 5).trim() === '' || raw === MISSING) return Number.NaN;
  if (quality !== ' ') {
    station.failed[element] = (station.failed[element] as number) + 1;
    return Number.NaN;
  }
  if (measurement === 'T' && elements[element] === 'PRCP') {
    station.traces[element] = (station.traces[element] as number) + 1;
    return TRACE_MM;
  }
  return raw / 10;
};

const duplicate = (station: string, day: number, element: string, given: string): Problem => ({
  code: 'weather-duplicate',
  where: `${station}, ${element}, ${isoDate(day)}`,
  given,
  allowed: 'one value',
  advice: 'Keep the right line',
});

/** Adds the days of one line to its station; a value that stands twice must be the same. */
const addLine = (station: Station, parts: RegExpExecArray, line: number): Problem[] => {
  const [, name, year, month, element, cells] = parts as unknown as [string, string, string, string, string, string];
  const column = elements.indexOf(element);
  const first = dayNumber(`${year}-${month}-01`);
  const problems: Problem[] = [];
  for (let d = 0; d * WIDTH < cells.length; d++) {
    const day = first + d;
    const value = cellValue(cells.slice(d * WIDTH, (d + 1) * WIDTH), column, station);
    if (Number.isNaN(value) || isoDate(day).slice(5, 7) !== month) continue;
    const entry = station.days.get(day) ?? { line, values: [Number.NaN, Number.NaN, Number.NaN] };
    station.days.set(day, entry);
    const before = entry.values[column] as number;
    if (!Number.isNaN(before) && before !== value)
      problems.push(duplicate(name, day, element, `${before} and ${value}`));
    entry.values[column] = value;
  }
  return problems;
};

const stationsOf = (text: string): Station[] => {
  const stations = new Map<string, Station>();
  const problems: Problem[] = [];
  text.split(/\r?\n/).forEach((content, index) => {
    if (content.trim() === '') return;
    const parts = LINE.exec(padded(content));
    if (!parts) {
      const allowed = 'station, year, month, element and 31 values with flags, in fixed columns';
      problems.push({ code: 'weather-format', where: `line ${index + 1}`, given: content.slice(0, 40), allowed });
      return;
    }
    if (!elements.includes(parts[4] as string)) return;
    const name = parts[1] as string;
    const station = stations.get(name) ?? newStation(name);
    stations.set(name, station);
    problems.push(...addLine(station, parts, index + 1));
  });
  if (problems.length > 0) throw whitethreadError(problems);
  return [...stations.values()].toSorted((a, b) => (a.name < b.name ? -1 : 1));
};

const stationFile = (station: Station): WeatherFile => {
  const rows = [...station.days].map(([day, { line, values }]): Row => ({ day, line, values }));
  const { startDay, columns, findings, problems: unfit } = columnsOf(rows, elements.length);
  const [tempMaxC = [], tempMinC = [], rainMm = []] = columns;
  const weather = { startDate: isoDate(startDay), tempMaxC, tempMinC, rainMm };
  const elementOf = (column: string) => elements[neededColumns.indexOf(column as NeededColumn)];
  const values = limitProblems(weather, {
    whereOf: (index, column) => `${station.name}, ${elementOf(column)}, ${isoDate(startDay + index)}`,
    unitOf: (column) => (column === 'rainMm' ? unitOf('rain', '0.1mm') : unitOf('temp', '0.1C')),
  });
  const problems = [...unfit, ...values];
  if (problems.length > 0) throw whitethreadError(problems);
  const to = startDay + tempMaxC.length - 1;
  const notes = (code: FindingCode, counts: readonly number[], limit: number | null): WeatherFinding[] =>
    counts.flatMap((given, i) =>
      given === 0 ? [] : [{ code, severity: 'note', from: startDay, to, column: elements[i] as string, given, limit }],
    );
  return {
    station: station.name,
    latitudeDeg: null,
    longitudeDeg: null,
    weather,
    observed: {},
    findings: [
      ...findings,
      ...notes('failed-quality', station.failed, null),
      ...notes('trace', station.traces, TRACE_MM),
    ],
  };
};

/**
 * The weather of a GHCN-Daily file (.dly): highest and lowest temperature and rain in tenths, a series for each station.
 * Values that the source marked as failed are left out with a note; a trace of rain counts as 0.05 mm.
 * Source: layout of the GHCN-Daily readme (columns 1-21 the key, then value and three flags for each day).
 * @throws WhitethreadError 'weather-format', 'weather-duplicate', 'weather-column', 'weather-range', 'weather-crossed'
 */
export const dlyWeather = (text: string): WeatherFile[] => {
  const stations = stationsOf(text);
  const missing = elements.filter(
    (_, i) => !stations.some(({ days }) => [...days.values()].some(({ values }) => !Number.isNaN(values[i]))),
  );
  if (missing.length > 0)
    throw whitethreadError([
      {
        code: 'weather-column',
        where: 'weather file',
        given: `no values of ${missing.join(', ')}`,
        allowed: elements.join(', '),
      },
    ]);
  return stations.filter(({ days }) => days.size > 0).map(stationFile);
};
