/** Words that files write where a value is missing, lower case. T is a trace of rain, and missing anywhere else. */
const MISSING_WORDS = new Set([
  '',
  'm',
  't',
  'null',
  'nan',
  'na',
  'n/a',
  'none',
  'missing',
  '-',
  '--',
  '.',
  'inf',
  '-inf',
]);
/** Numbers that files write where a value is missing. */
const MISSING_NUMBERS = new Set([-9999, -9999.9, -999, -999.9, -99.9, -99, 999, 999.9, 9999, 9999.9]);
/** In tenths, -99 is -9.9 C and 999 is 99.9 mm: only the largest can be marks. */
const MISSING_TENTHS = new Set([-9999, 9999, 99999, -99999]);

/** Water of a trace of rain, mm: half of the least that a gauge of 0.1 mm can show. Source: default of judgement. */
export const TRACE_MM = 0.05;

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

export const isTrace = (cell: string): boolean => cell === 'T' || cell === 't';

/** A cell that may be a number, read with a decimal comma or not; tenths decides what counts as a mark. */
export type CellForm = { readonly decimalComma: boolean; readonly tenths: boolean };

/**
 * The number in a cell; NaN where the cell is blank or holds a mark for "missing"; undefined where it is other text.
 * A number too large for the machine (1e999) counts as missing.
 * @param cell without spaces around it
 * @example cellNumber('12,5', { decimalComma: true, tenths: false }) // 12.5
 */
export const cellNumber = (cell: string, form: CellForm): number | undefined => {
  const text = form.decimalComma ? cell.replace(',', '.') : cell;
  if (!NUMBER.test(text)) return MISSING_WORDS.has(cell.toLowerCase()) ? Number.NaN : undefined;
  const value = Number(text);
  const marks = form.tenths ? MISSING_TENTHS : MISSING_NUMBERS;
  return marks.has(value) || !Number.isFinite(value) ? Number.NaN : value;
};
