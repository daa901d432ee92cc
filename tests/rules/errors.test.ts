import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { errorCodes } from '../../src/core/base/errors.ts';
import { findingCodes } from '../../src/core/weather/finding.ts';
import { closedReasons } from '../../src/core/windows/schema.ts';

const page = readFileSync(new URL('../../docs/errors.md', import.meta.url), 'utf8');

/** First cells of the table under a heading, and the cells after them. */
const rowsUnder = (heading: string): string[][] => {
  const section = page.split(/^## /m).find((part) => part.startsWith(`${heading}\n`)) ?? '';
  return section
    .split('\n')
    .filter((line) => line.startsWith('| `'))
    .map((line) =>
      line
        .split('|')
        .slice(1, -1)
        .map((cell) => cell.trim()),
    );
};

describe.each([
  ['Errors', errorCodes],
  ['Reasons a window is closed', closedReasons],
  ['Findings about weather', findingCodes],
] as const)('docs/errors.md, %s', (heading, codes) => {
  const rows = rowsUnder(heading);

  test('every code has its row and every row its code, in the same order', () => {
    expect(rows.map(([code]) => code)).toEqual(codes.map((code) => `\`${code}\``));
  });

  test('every cell is a sentence', () => {
    for (const cell of rows.flatMap((row) => row.slice(1))) expect(cell).toMatch(/^[A-Z0-9].*\.$/);
  });
});
