import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { allowedText } from '../../../src/core/base/allowed.ts';
import { columnOf, linesText, lineText, tempC } from '../../../src/core/base/quantity.ts';

const MOST = 5;
const column = z.strictObject({ tempMaxC: columnOf(tempC(), MOST), tempMinC: columnOf(tempC(), MOST).optional() });
/** The same without the short way. */
const twoOf = (value: z.ZodType) => {
  const plain = z.array(value.nullable()).max(MOST).readonly();
  return z.strictObject({ tempMaxC: plain, tempMinC: plain.optional() });
};
const slow = twoOf(z.number({ error: 'a number from -90 to 60 C' }));

describe('a column', () => {
  test('is taken, and refused with the same words and places, as value by value', () => {
    const value = fc.oneof(
      { weight: 8, arbitrary: fc.double({ min: -95, max: 65, noNaN: true }) },
      fc.constantFrom(null, undefined, Number.NaN, Number.POSITIVE_INFINITY, '7', true, {}, [1], 60, -90),
    );
    const given = fc.oneof(
      { weight: 8, arbitrary: fc.array(value, { maxLength: MOST + 2 }) },
      fc.constantFrom(null, undefined, 'text', 7, { length: 2 }),
    );
    fc.assert(
      fc.property(given, given, (tempMaxC, tempMinC) => {
        const found = column.safeParse({ tempMaxC, tempMinC }, { error: allowedText });
        const wanted = slow.safeParse({ tempMaxC, tempMinC }, { error: allowedText });
        expect(found.success).toBe(wanted.success);
        const shown = (error: z.ZodError | undefined) => error?.issues.map(({ path, message }) => ({ path, message }));
        expect(shown(found.error)).toEqual(shown(wanted.error));
        if (wanted.success) expect(found.data).toEqual(wanted.data);
      }),
      { numRuns: 2000 },
    );
  });

  test('may be left out only where it is optional', () => {
    expect(column.safeParse({ tempMaxC: [1] }).success).toBe(true);
    expect(column.safeParse({ tempMinC: [1] }).success).toBe(false);
  });

  test('takes a number that cannot be: whoever knows its day refuses it', () => {
    expect(column.safeParse({ tempMaxC: [86, null, -91] }).success).toBe(true);
  });

  test('has the JSON Schema of its quantity, range and all', () => {
    expect(z.toJSONSchema(column)).toEqual(z.toJSONSchema(twoOf(tempC())));
  });
});

describe('text for people', () => {
  const broken = [
    'A\nB',
    'A\r',
    '\u001b[31mred',
    'hoe\u0000',
    '\u007f',
    '\u0085',
    'a\u2028b',
    '\u202etxt',
    '\ud800',
    'a\udc00b',
  ];

  test.each(['', ' ', '\t', '\u00a0\u3000', 'x'.repeat(201), ...broken])('%j is no name', (text) => {
    const { error } = lineText().safeParse(text);
    expect(error?.issues.map(({ message }) => message)).toEqual([expect.stringContaining('in one line')]);
  });

  test.each(['North 40', 'Grüß Gott', '上田', 'Ann’s 🌾 "field"', ' x', 'x'.repeat(200)])('%j is a name', (text) => {
    expect(lineText().parse(text)).toBe(text);
  });

  test('a note may have lines, and nothing else that steers', () => {
    for (const text of ['', 'Dry,\r\n\tlight wind\n', '✓ done']) expect(linesText(99).parse(text)).toBe(text);
    for (const text of ['\u001b[2J', 'a\u0000', '\u0008', '\u009b', '\u202e', '\ud83c', 'x'.repeat(100)])
      expect(linesText(99).safeParse(text).success).toBe(false);
  });
});
