import { type DayNumber, isoDate } from '../core/base/day.ts';
import { whitethreadError } from '../core/base/errors.ts';
import type { Column } from '../core/weather/columns.ts';
import type { FindingCode, WeatherFinding } from '../core/weather/finding.ts';
import { limitProblems } from '../core/weather/qualityLimits.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { TRACE_MM } from './cells.ts';
import type { ReadOptions, WeatherFile } from './contract.ts';
import { type CsvRows, csvRows, type StationRows } from './csvRows.ts';
import { datesDays } from './dates.ts';
import { columnsOf, type Row } from './rows.ts';

/** The rows of every station with their days; dates are read over the whole file at once. */
const datedRows = (stations: readonly StationRows[], options: ReadOptions): Row[][] => {
  const raw = stations.flatMap(({ rows }) => rows);
  const { days, problems } = datesDays(
    raw.map(({ date }) => date),
    raw.map(({ line }) => line),
    options.dateOrder,
  );
  if (problems.length > 0) throw whitethreadError(problems);
  let next = 0;
  return stations.map(({ rows }) => rows.map(({ line, values }) => ({ day: days[next++] as DayNumber, line, values })));
};

const isUsed = (column: Column): boolean => column.some((value) => value !== null);

const degrees = (text: string, most: number): number | null => {
  const value = text === '' ? Number.NaN : Number(text);
  return Math.abs(value) <= most ? value : null;
};

const stationFile = (station: StationRows, rows: readonly Row[], { header, textColumns }: CsvRows): WeatherFile => {
  const { startDay, columns, lines, findings } = columnsOf(rows, header.values.length);
  const to = startDay + lines.length - 1;
  const note = (code: FindingCode, column: string, given: number | null, limit: number | null): WeatherFinding => ({
    code,
    severity: 'note',
    from: startDay,
    to,
    column,
    given,
    limit,
  });
  const named = header.values.map(({ name, kind, header: title }, i) => ({
    name,
    kind,
    title,
    i,
    column: columns[i] as Column,
  }));
  const weather = {
    startDate: isoDate(startDay),
    ...Object.fromEntries(named.filter(({ kind }) => kind === 'weather').map(({ name, column }) => [name, column])),
  } as DailyWeather;
  const problems = limitProblems(weather, (index, name) => {
    const title = named.find((candidate) => candidate.name === name)?.title ?? name;
    return `line ${lines[index]}, column ${title}`;
  });
  if (problems.length > 0) throw whitethreadError(problems);

  const extra = named.filter(({ kind }) => kind === 'observed');
  const isNumbers = ({ i, column }: { i: number; column: Column }) => !textColumns.has(i) && isUsed(column);
  const marks = named.flatMap(({ title, i }) => [
    ...(station.marks[i] && !textColumns.has(i) ? [note('missing-marker', title, station.marks[i], null)] : []),
    ...(station.traces[i] ? [note('trace', title, station.traces[i], TRACE_MM)] : []),
  ]);
  const unused = [...header.unused, ...extra.filter((column) => !isNumbers(column)).map(({ title }) => title)];
  return {
    station: header.places.station === undefined ? null : station.name,
    latitudeDeg: degrees(station.latitude, 90),
    longitudeDeg: degrees(station.longitude, 180),
    weather,
    observed: Object.fromEntries(extra.filter(isNumbers).map(({ name, column }) => [name, column])),
    findings: [...findings, ...marks, ...unused.map((title) => note('column-unused', title, null, null))],
  };
};

/**
 * The weather of a CSV file, a series for each station that it names, by name. The first line names the columns:
 * a date, highest and lowest temperature and rain with their units, and whatever else. Comma, semicolon or tab between
 * cells; with semicolon and tab a decimal comma is read too. Rows may stand in any order.
 * @throws WhitethreadError with every problem and its line: 'weather-column', 'weather-unit', 'weather-format',
 * 'weather-date', 'weather-duplicate', 'weather-range', 'weather-fahrenheit', 'weather-crossed', 'weather-empty'
 */
export const csvWeather = (text: string, options: ReadOptions = {}): WeatherFile[] => {
  const table = csvRows(text, options);
  if (table.stations.length === 0)
    throw whitethreadError([
      { code: 'weather-empty', where: 'weather file', given: 'a header and no rows', allowed: 'a row for each day' },
    ]);
  const stations = table.stations.toSorted((a, b) => (a.name < b.name ? -1 : 1));
  return datedRows(stations, options).map((rows, i) => stationFile(stations[i] as StationRows, rows, table));
};
