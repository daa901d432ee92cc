import type { DayNumber } from '../base/day.ts';
import { type Column, columnDays } from './columns.ts';
import { normal } from './normals.ts';

/** Longest gap that is drawn as a line between its neighbours, days. */
export const MOST_INTERPOLATED = 3;
/** Longest gap in observed weather that is filled at all, days. */
export const MOST_FILLED = 10;

/** Missing days in a row, first and last as indices, and how they are filled. */
export type Gap = { readonly first: number; readonly last: number; readonly fill: 'interpolated' | 'climatology' };

/** A gap at an end of the series has no second neighbour to draw a line to, so it gets the climatology however short. */
const fillOf = (first: number, last: number, length: number): Gap['fill'] =>
  first > 0 && last < length - 1 && last - first < MOST_INTERPOLATED ? 'interpolated' : 'climatology';

/**
 * The gaps of a column, in order.
 * @example gaps([1, null, 3, null]) // [{ first: 1, last: 1, fill: 'interpolated' }, { first: 3, last: 3, fill: 'climatology' }]
 */
export const gaps = (column: Column): Gap[] => {
  const found: Gap[] = [];
  let first = -1;
  for (let i = 0; i <= column.length; i++) {
    const missing = i < column.length && column[i] === null;
    if (missing && first < 0) first = i;
    if (!missing && first >= 0) {
      found.push({ first, last: i - 1, fill: fillOf(first, i - 1, column.length) });
      first = -1;
    }
  }
  return found;
};

/**
 * The column with every gap filled as the gap says.
 * @example filled([1, null, 3], gaps([1, null, 3]), 0) // [1, 2, 3]
 */
export const filled = (column: Column, holes: readonly Gap[], startDay: DayNumber): Float64Array => {
  const values = columnDays(column, column.length);
  for (const { first, last, fill } of holes) {
    const before = values[first - 1] as number;
    const slope = ((values[last + 1] as number) - before) / (last - first + 2);
    for (let i = first; i <= last; i++)
      values[i] = fill === 'interpolated' ? before + slope * (i - first + 1) : normal(column, startDay, startDay + i);
  }
  return values;
};
