/** A coordinate on a source's own grid, at most 4 decimals, no trailing zeros. @example onGrid(41.99871, 0.05) // 42 */
export const onGrid = (deg: number, stepDeg: number): number =>
  // Adding 0 makes -0 a plain 0.
  Number((Math.round(deg / stepDeg) * stepDeg).toFixed(4)) + 0;

/** Whether a reply is about the place asked for; a cell's centre may lie a degree off. @example isNear(179.9, -179.9) // true */
export const isNear = (askedDeg: number, givenDeg: number): boolean =>
  Math.abs(((((givenDeg - askedDeg + 180) % 360) + 360) % 360) - 180) <= 1;

/** A query in the order given, encoded. @example query({ a: 1, b: 'x/y' }) // '?a=1&b=x%2Fy' */
export const query = (entries: Readonly<Record<string, string | number>>): string =>
  `?${new URLSearchParams(Object.entries(entries).map(([name, value]): [string, string] => [name, String(value)]))}`;
