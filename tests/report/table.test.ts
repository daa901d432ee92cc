import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { csvText } from '../../src/report/csv.ts';
import { table, WIDTH, wrapped } from '../../src/report/table.ts';

test('columns are as wide as their widest cell, numbers stand right', () => {
  expect(
    table(
      [
        ['', 'days'],
        ['Ames', '106'],
        ['X', '7'],
      ],
      ['left', 'right'],
    ),
  ).toBe('      days\nAmes   106\nX        7');
});

test('no wrapped line is wider than the terminal and no word is lost', () => {
  const word = fc.stringMatching(/^[a-z]{1,20}$/);
  fc.assert(
    fc.property(fc.array(word, { minLength: 1, maxLength: 80 }), fc.integer({ min: 0, max: 40 }), (list, indent) => {
      const text = wrapped(' '.repeat(indent), list.join(' '), indent);
      expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(WIDTH);
      expect(text.trim().split(/\s+/)).toEqual(list);
    }),
  );
});

test('CSV comes back as it went, with commas, quotes and line breaks in cells, but for what would be a formula', () => {
  const cell = fc.string();
  const safe = (text: string) => (/^\s*[=+@-]/.test(text) ? `'${text}` : text);
  fc.assert(
    fc.property(fc.array(fc.record({ name: cell, why: cell, n: fc.integer() }), { minLength: 1 }), (rows) => {
      const back = parse(csvText(rows), { columns: true, relax_column_count: false });
      expect(back).toEqual(rows.map(({ name, why, n }) => ({ name: safe(name), why: safe(why), n: String(n) })));
    }),
  );
});

test('true, false and nothing in CSV', () => {
  expect(csvText([{ open: true, closed: false, score: null }])).toBe('open,closed,score\ntrue,false,');
});

test('CSV of no rows has its header where the columns are named, and is empty where they are not', () => {
  expect(csvText([], ['date', 'field'])).toBe('date,field');
  expect(csvText([])).toBe('');
});
