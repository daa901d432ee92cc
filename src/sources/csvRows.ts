import { CsvError, parse } from 'csv-parse/sync';
import { MOST_PROBLEMS, type Problem, whitethreadError } from '../core/base/errors.ts';
import { type CellForm, cellNumber, isTrace, TRACE_MM } from './cells.ts';
import type { ReadOptions } from './contract.ts';
import { flagsOf, NO_FLAGS } from './flags.ts';
import { type Header, headerOf, type ValueColumn } from './header.ts';
import { isTenths } from './units.ts';

/** A row as it stands in the file, its date not yet read: that takes the whole column of dates. */
export type RawRow = { readonly date: string; readonly line: number; readonly values: readonly number[] };

/** The rows of one station, and how many marks, traces and values that failed the source's own check each of its columns held. */
export type StationRows = {
  readonly name: string;
  readonly latitude: string;
  readonly longitude: string;
  readonly rows: RawRow[];
  readonly marks: number[];
  readonly traces: number[];
  readonly failed: number[];
};

export type CsvRows = {
  readonly header: Header;
  readonly stations: readonly StationRows[];
  /** Columns, by their index in `header.values`, that hold other text than numbers. */
  readonly textColumns: ReadonlySet<number>;
  /** Rows of too few or too many cells, which are left out, and cells of other text, which are taken as missing. */
  readonly problems: readonly Problem[];
};

/** A remark, or the line in which a spreadsheet names its delimiter. */
const NO_DATA = /^(#|sep=)/i;

/** The delimiter that the first line has most of. @example delimiterOf('date;tmax_c') // ';' */
export const delimiterOf = (text: string): ',' | ';' | '\t' => {
  const first = text.split(/\r?\n/, 50).find((line) => line.trim() !== '' && !NO_DATA.test(line)) ?? '';
  const count = (mark: string) => first.split(mark).length;
  const marks = [',', ';', '\t'] as const;
  return marks.reduce((best, mark) => (count(mark) > count(best) ? mark : best));
};

const formatProblem = (where: string, given: string, allowed: string): Problem => ({
  code: 'weather-format',
  where,
  given,
  allowed,
});

type Numbered = { readonly cells: readonly string[]; readonly line: number };

const isNothing = (cells: readonly string[]): boolean =>
  NO_DATA.test(cells[0] ?? '') || cells.every((cell) => cell === '');

/** Characters of a piece of a large file: its records are dropped before the next piece is read. */
const PIECE = 1_000_000;

/** The text in pieces that end with a line; a text with quotes stays whole, since a quoted cell may hold a line's end. */
const pieces = (text: string): string[] => {
  if (text.includes('"')) return [text];
  const result: string[] = [];
  for (let from = 0; from < text.length; ) {
    const end = text.indexOf('\n', from + PIECE);
    const to = end < 0 ? text.length : end + 1;
    result.push(text.slice(from, to));
    from = to;
  }
  return result;
};

/** Runs the CSV library and puts its complaints into ours. */
const parsedPiece = (piece: string, delimiter: string, firstLine: number): string[][] => {
  try {
    return parse(piece, { delimiter, trim: true, relax_column_count: true, relax_quotes: true });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = `line ${firstLine - 1 + Number(error.lines)}`;
    throw whitethreadError([formatProblem(line, error.message, 'rows of cells, quotes in pairs')]);
  }
};

/**
 * Gives each record with the line it begins on, without empty lines and lines that begin with #. The library could skip
 * and count too, but its count of lines costs three times the parsing.
 */
function* numberedRecords(text: string, delimiter: string): Generator<Numbered, undefined> {
  let line = 1;
  for (const piece of pieces(text)) {
    const hasQuotes = piece.includes('"');
    for (const cells of parsedPiece(piece, delimiter, line)) {
      if (!isNothing(cells)) yield { cells, line };
      line += 1 + (hasQuotes ? cells.join('').split('\n').length - 1 : 0);
    }
  }
}

/** The date of a row as text; parts in columns of their own become YYYY-MM-DD or YYYY-DDD. */
const dateText = (record: readonly string[], { date, year, month, day, dayOfYear }: Header['places']): string => {
  const cell = (index: number | undefined) => (index === undefined ? '' : (record[index] ?? ''));
  if (date !== undefined) return cell(date);
  if (dayOfYear !== undefined) return `${cell(year)}-${cell(dayOfYear).padStart(3, '0')}`;
  return `${cell(year)}-${cell(month).padStart(2, '0')}-${cell(day).padStart(2, '0')}`;
};

/** Counts one more in a column. */
const count = (counts: number[], index: number): void => {
  counts[index] = (counts[index] as number) + 1;
};

/** One cell as a number in the library's unit; counts marks, traces and what failed, and says when it is other text. */
const cellValue = (
  record: readonly string[],
  index: number,
  column: ValueColumn,
  form: CellForm,
  station: StationRows,
): number | undefined => {
  const cell = record[column.cell] as string;
  const flags = column.flags === undefined ? NO_FLAGS : flagsOf(record[column.flags] as string);
  const value = cellNumber(cell, form);
  if (flags.hasFailed && value !== undefined && !Number.isNaN(value)) {
    count(station.failed, index);
    return Number.NaN;
  }
  if (column.name === 'rainMm' && (isTrace(cell) || (flags.isTrace && !Number.isNaN(value)))) {
    count(station.traces, index);
    return TRACE_MM;
  }
  if (value !== undefined && Number.isNaN(value) && cell !== '') count(station.marks, index);
  return value === undefined ? undefined : column.unit.toOurs(value);
};

const cellsProblem = (record: readonly string[], header: Header, line: number): Problem | null => {
  const tooMany = record.length > header.cells && record.slice(header.cells).some((cell) => cell !== '');
  if (record.length >= header.cells && !tooMany) return null;
  return formatProblem(`line ${line}`, `${record.length} cells`, `${header.cells} cells, as the first line has`);
};

/**
 * The rows of a CSV file by station, as numbers in the library's units.
 * @throws WhitethreadError 'weather-format' where quotes are not in pairs, 'weather-empty', and what `headerOf` throws
 */
export const csvRows = (text: string, options: ReadOptions): CsvRows => {
  const delimiter = delimiterOf(text);
  const records = numberedRecords(text, delimiter);
  const first = records.next().value;
  if (first === undefined)
    throw whitethreadError([
      {
        code: 'weather-empty',
        where: 'weather file',
        given: 'no line of cells',
        allowed: 'a header and at least one day',
      },
    ]);
  const header = headerOf(first.cells, options);
  const decimalComma = delimiter !== ',';
  const forms = header.values.map(({ unit }): CellForm => ({ decimalComma, tenths: isTenths(unit) }));
  const stations = new Map<string, StationRows>();
  const textColumns = new Set<number>();
  const problems: Problem[] = [];

  const stationOf = (record: readonly string[]): StationRows => {
    const at = (index: number | undefined) => (index === undefined ? '' : (record[index] ?? ''));
    const name = at(header.places.station);
    const known = stations.get(name);
    if (known) return known;
    const zeros = () => new Array<number>(header.values.length).fill(0);
    const place = { latitude: at(header.places.latitude), longitude: at(header.places.longitude) };
    const station = { name, ...place, rows: [], marks: zeros(), traces: zeros(), failed: zeros() };
    stations.set(name, station);
    return station;
  };

  const takeRecord = (record: readonly string[], line: number): void => {
    const wrong = cellsProblem(record, header, line);
    if (wrong && problems.length < MOST_PROBLEMS) problems.push(wrong);
    if (wrong) return;
    const station = stationOf(record);
    const values = header.values.map((column, i) => {
      const value = cellValue(record, i, column, forms[i] as CellForm, station);
      if (value !== undefined) return value;
      if (column.kind === 'observed') textColumns.add(i);
      else if (problems.length < MOST_PROBLEMS)
        problems.push(
          formatProblem(
            `line ${line}, column ${column.header}`,
            record[column.cell] as string,
            'a number, or nothing where it is missing',
          ),
        );
      return Number.NaN;
    });
    station.rows.push({ date: dateText(record, header.places), line, values });
  };

  for (const { cells, line } of records) takeRecord(cells, line);
  return { header, stations: [...stations.values()], textColumns, problems };
};
