import { stringify } from 'csv-stringify/sync';

type Cell = string | number | boolean | null | undefined;

/** Rows as CSV (RFC 4180 quoting) with a header of the first row's names; null and undefined become empty cells. */
export const csvText = (rows: readonly Readonly<Record<string, Cell>>[]): string =>
  stringify([...rows], { header: true, cast: { boolean: (value) => (value ? 'true' : 'false') } }).replace(/\n$/, '');
