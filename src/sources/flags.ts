import { plain } from './units.ts';

/** What an archive says of a value in a cell beside it. */
export type Flags = { readonly isTrace: boolean; readonly hasFailed: boolean };

/** Of a value without any. */
export const NO_FLAGS: Flags = { isTrace: false, hasFailed: false };

/**
 * The flags of a value in a CSV of GHCN-Daily: of measurement, of quality, of its source. Source: documentation of the
 * archive's daily summaries; a trace has the measurement flag T, and any quality flag is a failed check.
 * @example flagsOf('T,,W') // { isTrace: true, hasFailed: false }
 */
export const flagsOf = (cell: string): Flags => {
  const [measurement = '', quality = ''] = cell.split(',').map((flag) => flag.trim());
  return { isTrace: measurement === 'T', hasFailed: quality !== '' };
};

/** Which column holds the flags of another, such as TMAX_ATTRIBUTES of TMAX; undefined where none does. */
export const flagsPlace = (headers: readonly string[], header: string): number | undefined => {
  const place = headers.findIndex((one) => plain(one) === `${plain(header)}attributes`);
  return place < 0 ? undefined : place;
};
