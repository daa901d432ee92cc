/** `value` held between `low` and `high`. @example clamp(5, 0, 1) // 1 */
export const clamp = (value: number, low: number, high: number): number => (value < low ? low : Math.min(value, high));

/** Straight line through the break points, flat outside them. Points ascend in x; NaN gives NaN. @example interpolated([[0, 0], [2, 4]], 1) // 2 */
export const interpolated = (points: readonly (readonly [number, number])[], x: number): number => {
  const first = points[0];
  if (first === undefined || Number.isNaN(x)) return Number.NaN;
  if (x <= first[0]) return first[1];
  for (let i = 1; i < points.length; i++) {
    const [x0, y0] = points[i - 1] as readonly [number, number];
    const [x1, y1] = points[i] as readonly [number, number];
    if (x <= x1) return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
  }
  return (points[points.length - 1] as readonly [number, number])[1];
};

/** Powers of ten, looked up: an answer rounds ten thousand values. */
const SCALES = [1, 10, 100, 1e3, 1e4, 1e5, 1e6] as const;

/** `value` rounded to `digits` decimals, 0 to 6, for answers. @example rounded(1.2345, 2) // 1.23 */
export const rounded = (value: number, digits: number): number => {
  const scale = SCALES[digits] ?? 10 ** digits;
  return Math.round(value * scale) / scale;
};

/** `value` to six decimals: more than anything is known to, so that sums still add up. @example sixDigits(2 / 3) // 0.666667 */
export const sixDigits = (value: number): number => rounded(value, 6);

/** The same of what may not be known. @example sixDigitsOrNull(undefined) // null */
export const sixDigitsOrNull = (value: number | null | undefined): number | null =>
  value === null || value === undefined ? null : sixDigits(value);

/** Part of a column less `zero`, rounded for an answer. A plain loop: answers hold tens of columns of a year. */
export const roundedColumn = (column: Float64Array, first: number, end: number, digits: number, zero = 0): number[] => {
  const scale = SCALES[digits] ?? 10 ** digits;
  const out = new Array<number>(Math.max(0, end - first));
  for (let i = first; i < end; i++) out[i - first] = Math.round((column[i] - zero) * scale) / scale;
  return out;
};
