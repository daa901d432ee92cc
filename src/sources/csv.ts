import { isoDate } from '../core/base/day.ts';
import { type Problem, whitethreadError } from '../core/base/errors.ts';
import { type AsGiven, givenNumber } from '../core/weather/asGiven.ts';
import type { Column } from '../core/weather/columns.ts';
import type { FindingCode, WeatherFinding } from '../core/weather/finding.ts';
import { limitProblems } from '../core/weather/qualityLimits.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { TRACE_MM } from './cells.ts';
import type { ReadOptions, WeatherFile } from './contract.ts';
import { type CsvRows, csvRows, type StationRows } from './csvRows.ts';
import { datesDays } from './dates.ts';
import type { ValueColumn } from './header.ts';
import { columnsOf, type Row } from './rows.ts';

/** The rows of every station with their days, those without one left out; dates are read over the whole file at once. */
const datedRows = (stations: readonly StationRows[], options: ReadOptions) => {
  const raw = stations.flatMap(({ rows }) => rows);
  const { days, problems } = datesDays(
    raw.map(({ date }) => date),
    raw.map(({ line }) => line),
    options.dateOrder,
  );
  let next = 0;
  const dated = stations.map(({ rows }) =>
    rows.map(({ line, values }): Row => ({ day: days[next++] ?? Number.NaN, line, values })),
  );
  const sound = problems.length === 0 ? dated : dated.map((rows) => rows.filter(({ day }) => !Number.isNaN(day)));
  return { rows: sound, problems };
};

const isUsed = (column: Column): boolean => column.some((value) => value !== null);

const degrees = (text: string, most: number): number | null => {
  const value = text === '' ? Number.NaN : Number(text);
  return Math.abs(value) <= most ? value : null;
};

/** The series of one station, how the file gave it, and what of it could not be read. */
type StationRead = { readonly file: WeatherFile; readonly given: AsGiven; readonly problems: readonly Problem[] };

const stationRead = (station: StationRows, rows: readonly Row[], { header, textColumns }: CsvRows): StationRead => {
  const { startDay, columns, lines, findings, problems } = columnsOf(rows, header.values.length, (value, i) =>
    givenNumber(value, (header.values[i] as ValueColumn).unit),
  );
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
  const columnOf = (name: string) => header.values.find((column) => column.kind === 'weather' && column.name === name);
  const given: AsGiven = {
    whereOf: (index, name) => `line ${lines[index]}, column ${columnOf(name)?.header ?? name}`,
    unitOf: (name) => columnOf(name)?.unit,
  };

  const extra = named.filter(({ kind }) => kind === 'observed');
  const isNumbers = ({ i, column }: { i: number; column: Column }) => !textColumns.has(i) && isUsed(column);
  const marks = named.flatMap(({ title, i }) => [
    ...(station.marks[i] && !textColumns.has(i) ? [note('missing-marker', title, station.marks[i], null)] : []),
    ...(station.traces[i] ? [note('trace', title, station.traces[i], TRACE_MM)] : []),
    ...(station.failed[i] ? [note('failed-quality', title, station.failed[i], null)] : []),
  ]);
  const unused = [...header.unused, ...extra.filter((column) => !isNumbers(column)).map(({ title }) => title)];
  const file = {
    station: header.places.station === undefined ? null : station.name,
    latitudeDeg: degrees(station.latitude, 90),
    longitudeDeg: degrees(station.longitude, 180),
    weather,
    observed: Object.fromEntries(extra.filter(isNumbers).map(({ name, column }) => [name, column])),
    findings: [...findings, ...marks, ...unused.map((title) => note('column-unused', title, null, null))],
  };
  return { file, given, problems };
};

/** Weather of a CSV file that was read and not yet judged, and how the file gave it. */
export type CsvSeries = WeatherFile & { readonly given: AsGiven };

const valuesThatCannotBe = ({ weather, given }: CsvSeries): Problem[] => limitProblems(weather, given);

/**
 * The series of a CSV file whose rows can all be read, for whoever judges them with more than the file knows. Where a row
 * cannot, what cannot be in the others is told along.
 * @throws WhitethreadError as `csvWeather`, values that cannot be only beside other problems
 */
export const csvSeries = (text: string, options: ReadOptions = {}): CsvSeries[] => {
  const table = csvRows(text, options);
  if (table.stations.length === 0 && table.problems.length === 0)
    throw whitethreadError([
      { code: 'weather-empty', where: 'weather file', given: 'a header and no rows', allowed: 'a row for each day' },
    ]);
  const stations = table.stations.toSorted((a, b) => (a.name < b.name ? -1 : 1));
  const dated = datedRows(stations, options);
  const read = stations.flatMap((station, i) => {
    const rows = dated.rows[i] as Row[];
    return rows.length === 0 ? [] : [stationRead(station, rows, table)];
  });
  const unread = [...table.problems, ...dated.problems, ...read.flatMap(({ problems }) => problems)];
  const series = read.map(({ file, given }) => ({ ...file, given }));
  if (unread.length > 0) throw whitethreadError([...unread, ...series.flatMap(valuesThatCannotBe)]);
  return series;
};

/**
 * The weather of a CSV file, a series for each station that it names, by name. The first line names the columns:
 * a date, highest and lowest temperature and rain with their units, and whatever else. Comma, semicolon or tab between
 * cells; with semicolon and tab a decimal comma is read too. Rows may stand in any order.
 * @throws WhitethreadError with every problem and its line: 'weather-column', 'weather-unit', 'weather-format',
 * 'weather-date', 'weather-duplicate', 'weather-range', 'weather-fahrenheit', 'weather-crossed', 'weather-empty'
 */
export const csvWeather = (text: string, options: ReadOptions = {}): WeatherFile[] => {
  const series = csvSeries(text, options);
  const problems = series.flatMap(valuesThatCannotBe);
  if (problems.length > 0) throw whitethreadError(problems);
  return series.map(({ given: _, ...file }) => file);
};
