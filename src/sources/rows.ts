import { type DayNumber, isoDate } from '../core/base/day.ts';
import { MOST_PROBLEMS, type Problem } from '../core/base/errors.ts';
import type { Column } from '../core/weather/columns.ts';
import type { WeatherFinding } from '../core/weather/finding.ts';

/** One row of a file: its day, its line, and a number for each column, NaN where missing. */
export type Row = { readonly day: DayNumber; readonly line: number; readonly values: readonly number[] };

export type Columns = {
  readonly startDay: DayNumber;
  readonly columns: readonly Column[];
  /** Line of each day; 0 for days that the file does not have. */
  readonly lines: readonly number[];
  readonly findings: readonly WeatherFinding[];
  /** Days that stand twice with different values; or days too far apart, and then there are no columns. */
  readonly problems: readonly Problem[];
};

/** A value as it stood in the file. @param index of its column */
export type AsSent = (value: number, index: number) => number;

/** As in the schema: 60 years. */
const MOST_DAYS = 60 * 366;

const isSame = (a: Row, b: Row): boolean => a.values.every((value, i) => Object.is(value, b.values[i]));

const listed = (row: Row, asSent: AsSent): string =>
  `line ${row.line}: ${row.values.map((v, i) => (Number.isNaN(v) ? '' : asSent(v, i))).join(', ')}`;

const duplicateProblem = (kept: Row, row: Row, asSent: AsSent): Problem => ({
  code: 'weather-duplicate',
  where: isoDate(row.day),
  given: `two rows that differ (${listed(kept, asSent)}; ${listed(row, asSent)})`,
  allowed: 'one row for each day',
  advice: 'Keep the right one',
});

const spanProblem = (first: DayNumber, last: DayNumber): Problem => ({
  code: 'weather-too-large',
  where: 'weather file',
  given: `days from ${isoDate(first)} to ${isoDate(last)}`,
  allowed: `at most ${MOST_DAYS} days from the first to the last`,
  advice: 'Leave out years that are not needed, or correct the dates',
});

const duplicateFinding = (day: DayNumber, times: number): WeatherFinding => ({
  code: 'duplicate',
  severity: 'note',
  from: day,
  to: day,
  column: null,
  given: times,
  limit: 1,
});

/** Rows by day, and how often each day stood in the file with the same values. */
const oneADay = (rows: readonly Row[], asSent: AsSent) => {
  const kept: Row[] = [];
  const times: number[] = [];
  const problems: Problem[] = [];
  for (const row of rows.toSorted((a, b) => a.day - b.day || a.line - b.line)) {
    const last = kept[kept.length - 1];
    if (last?.day !== row.day) {
      kept.push(row);
      times.push(1);
    } else if (isSame(last, row)) times[times.length - 1] = (times[times.length - 1] as number) + 1;
    else if (problems.length < MOST_PROBLEMS) problems.push(duplicateProblem(last, row, asSent));
  }
  return { kept, times, problems };
};

/**
 * Columns from rows in any order, a value or null for every day from the first to the last. A day that stands twice with
 * the same values counts once, with a note; with others it is a problem that lists both rows, and the first counts.
 * @param rows at least one
 * @param width number of columns
 */
export const columnsOf = (rows: readonly Row[], width: number, asSent: AsSent = (value) => value): Columns => {
  const { kept, times, problems } = oneADay(rows, asSent);
  const startDay = (kept[0] as Row).day;
  const lastDay = (kept[kept.length - 1] as Row).day;
  const length = lastDay - startDay + 1;
  if (length > MOST_DAYS) {
    const columns = Array.from({ length: width }, () => []);
    return { startDay, columns, lines: [], findings: [], problems: [...problems, spanProblem(startDay, lastDay)] };
  }
  const columns = Array.from({ length: width }, () => new Array<number | null>(length).fill(null));
  const lines = new Array<number>(length).fill(0);
  for (const { day, line, values } of kept) {
    lines[day - startDay] = line;
    columns.forEach((column, c) => {
      const value = values[c] as number;
      if (!Number.isNaN(value)) column[day - startDay] = value;
    });
  }
  const findings = kept.flatMap(({ day }, i) =>
    (times[i] as number) > 1 ? [duplicateFinding(day, times[i] as number)] : [],
  );
  return { startDay, columns, lines, findings, problems };
};
