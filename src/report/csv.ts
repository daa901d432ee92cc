import { stringify } from 'csv-stringify/sync';
import { inUsUnits, type Units, usName } from './units.ts';

type Cell = string | number | boolean | null | undefined;

/** How a text begins that a spreadsheet would take for a formula. */
const FORMULA = /^[\t\r]|^\s*[=+@\-\uff1d\uff0b\uff20\uff0d]/;

/**
 * Rows as CSV (RFC 4180 quoting); null and undefined become empty cells. A text that would be a formula stands behind an
 * apostrophe; numbers stay numbers.
 * @param columns names of the header; without them those of the first row
 */
export const csvText = (rows: readonly Readonly<Record<string, Cell>>[], columns?: readonly string[]): string =>
  stringify([...rows], {
    header: true,
    ...(columns === undefined ? {} : { columns: [...columns] }),
    cast: {
      boolean: (value) => (value ? 'true' : 'false'),
      string: (value) => (FORMULA.test(value) ? `'${value}` : value),
    },
  }).replace(/\n$/, '');

/** The same in the reader's units: names of columns end in their unit, and follow it. */
export const csvInUnits = (
  rows: readonly Readonly<Record<string, Cell>>[],
  columns: readonly string[],
  units: Units,
): string =>
  units === 'metric' ? csvText(rows, columns) : csvText(inUsUnits(rows) as typeof rows, columns.map(usName));
