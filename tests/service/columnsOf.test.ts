import fc from 'fast-check';
import { expect, test } from 'vitest';
import { columnsOf } from '../../src/service/columnsOf.ts';

/** What the engine itself reads: ECMA-262, 25.5.1; undefined where it is no JSON. */
const byEngine = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
};

/** The text is read as the engine reads it, or left to it; true where it was read. */
const isReadTheSame = (text: string): boolean => {
  const found = columnsOf(text);
  // Stricter than deep equality where it counts: the order of names, and the sign of zero.
  if (found !== undefined) {
    expect(found).toStrictEqual(byEngine(text));
    expect(Object.keys(found)).toEqual(Object.keys(byEngine(text) as object));
  }
  return found !== undefined;
};

const digits = fc.integer({ min: 0, max: 999_999 }).map(String);
const numberText = fc.oneof(
  { weight: 1, arbitrary: fc.double({ noNaN: true, noDefaultInfinity: true }).map((n) => JSON.stringify(n)) },
  { weight: 9, arbitrary: fc.integer({ min: -999, max: 999 }).map((n) => String(n / 10)) },
  {
    weight: 3,
    arbitrary: fc
      .tuple(fc.constantFrom('', '-'), digits, digits)
      .map(([sign, whole, behind]) => `${sign}${whole}.${behind}`),
  },
  {
    weight: 3,
    arbitrary: fc.constantFrom(
      '0',
      '-0',
      '-0.0',
      '0.1',
      '99999999999999',
      '999999999999999',
      '9007199254740993',
      '0.30000000000004',
    ),
  },
);
const white = fc.constantFrom('', '', ' ', '\n\t', '\r\n  ');
const spaced = (values: fc.Arbitrary<string>) => fc.tuple(white, values, white).map((parts) => parts.join(''));
const row = fc
  .array(spaced(fc.oneof({ weight: 5, arbitrary: numberText }, fc.constant('null'))), { maxLength: 20 })
  .map((values) => `[${values.join(',')}]`);
const plainString = fc.string({ unit: 'grapheme-ascii', maxLength: 12 }).map((text) => JSON.stringify(text));
const name = fc.oneof(
  fc.constantFrom('"startDate"', '"rainMm"', '"tempMaxC"', '"__proto__"', '"1"', '""'),
  plainString,
);
const member = fc.tuple(spaced(name), spaced(fc.oneof(row, plainString))).map((parts) => parts.join(':'));
const columnsText = spaced(fc.array(member, { maxLength: 5 }).map((members) => `{${members.join(',')}}`));

test('columns are read as the engine reads them, most of them here', () => {
  let read = 0;
  fc.assert(
    fc.property(columnsText, (text) => {
      if (isReadTheSame(text)) read++;
    }),
    { numRuns: 2000 },
  );
  expect(read).toBeGreaterThan(500);
});

test('a text that was cut, or of which a character is another, is read as the engine reads it or left to it', () => {
  const other = fc.constantFrom(...'0123456789.,-+eE[]{}:"\\ nulk\n\t\u0000\u007fé\u0130\u2028\ud800');
  fc.assert(
    fc.property(columnsText, fc.nat(), other, (text, place, character) => {
      const at = place % text.length;
      isReadTheSame(text.slice(0, at));
      isReadTheSame(text.slice(0, at) + character + text.slice(at + 1));
      isReadTheSame(text.slice(0, at) + character + text.slice(at));
    }),
    { numRuns: 2000 },
  );
});

test('any JSON is read as the engine reads it or left to it', () => {
  fc.assert(
    fc.property(fc.json(), (text) => {
      isReadTheSame(text);
    }),
    { numRuns: 1000 },
  );
});

test.each([
  '{"a":[1,]}',
  '{"a":[01]}',
  '{"a":[-]}',
  '{"a":[1.]}',
  '{"a":[.5]}',
  '{"a":[-null]}',
  '{"a":[nul]}',
  '{"a":[1 2]}',
  '{"a":[1]',
  '{"a":[1]}}',
  '{"a":[1],}',
  '{"a" [1]}',
  '{a:[1]}',
  '{"a":"\t"}',
  '\ufeff{"a":[1]}',
])('%s is no JSON and is not read', (text) => {
  expect(byEngine(text)).toBeUndefined();
  expect(columnsOf(text)).toBeUndefined();
});

test('a text ends where it ends, whatever stood in the memory before', () => {
  expect(columnsOf('{"a":[1,2,3],"b":"four"}')).toBeDefined();
  for (const cut of ['{"a":[1,2', '{"a":[1,2,3],"b":"fo', '{"a":[n', '{"a":[1,2,3]'])
    expect(columnsOf(cut)).toBeUndefined();
});

test('the longest text that is read has room, also where every second character is a value', () => {
  const most = 32 * 1024;
  const text = (length: number) => `{"a":[${'1,'.repeat((length - 9) / 2)}1]}`.padEnd(length);
  expect(isReadTheSame(text(most))).toBe(true);
  expect(columnsOf(text(most + 2))).toBeUndefined();
});

test('what was read before does not change when the next is read', () => {
  const before = columnsOf('{"a":[1,2,3]}');
  columnsOf('{"a":[4,5,6]}');
  expect(before).toStrictEqual({ a: [1, 2, 3] });
});
