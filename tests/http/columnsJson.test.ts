import fc from 'fast-check';
import { expect, test } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { columnsJson, columnsJsonIn } from '../../src/http/columnsJson.ts';
import { inUsUnits } from '../../src/report/units.ts';
import { benchField } from '../bench/field.ts';

/** What the engine itself makes of it: ECMA-262, 25.5.2. */
const asEngine = (data: object) => Buffer.from(JSON.stringify(data));

const numbers = fc.oneof(
  fc.integer({ min: -9999, max: 9999 }).map((n) => n / 10),
  fc.integer({ min: -99_999, max: 99_999 }).map((n) => n / 10_000),
  fc.integer({ min: -99_999_999, max: 99_999_999 }).map((n) => n / 10_000),
  fc.integer({ min: -99_999_999, max: 99_999_999 }).map((n) => n / 1_000_000),
  fc.double(),
  fc.constantFrom(0, -0, 1, 0.1 + 0.2, 1e-7, 1e21, 9999, 9999.9999, 10_000, -0.0001, Number.MAX_VALUE, 5e-324),
);
const column = fc.array(fc.option(numbers), { minLength: 32, maxLength: 64 });
const text = fc.string({ unit: 'binary' });
const mixed = fc.array(fc.oneof(numbers, text, fc.boolean(), fc.constant(undefined)), { minLength: 32, maxLength: 64 });
const plain = fc.oneof(column, mixed, text, numbers, fc.constantFrom(null, true, undefined), fc.array(numbers));
const record = fc.dictionary(text, plain);

test('the bytes are those that the engine makes, of any data with rows of numbers in it', () => {
  fc.assert(
    fc.property(fc.dictionary(text, fc.oneof(plain, record, fc.array(record))), (data) => {
      expect(columnsJson(data).equals(asEngine(data))).toBe(true);
    }),
    { numRuns: 500 },
  );
});

test('so are those of a row by itself', () => {
  fc.assert(
    fc.property(fc.array(numbers, { minLength: 32, maxLength: 400 }), (row) => {
      expect(columnsJson(row).toString()).toBe(JSON.stringify(row));
    }),
    { numRuns: 500 },
  );
});

test('so are those of an outlook, in either units, and of one of more bytes than any before', () => {
  const told = outlook(benchField(135, 14), loadCatalogue());
  for (const data of [told, inUsUnits(told) as object, { of: Array.from({ length: 9 }, () => told) }])
    expect(columnsJson(data).equals(asEngine(data))).toBe(true);
});

test('what was made before does not change when the next is made', () => {
  const before = columnsJson({ a: Array.from({ length: 40 }, () => 1.5) });
  const copy = Buffer.from(before);
  columnsJson({ a: Array.from({ length: 40 }, () => 2.5) });
  expect(before.equals(copy)).toBe(true);
});

test('in memory that is given they are the same, and stand there; in other memory where it is too little', () => {
  fc.assert(
    fc.property(fc.dictionary(text, fc.oneof(plain, record)), fc.integer({ min: 0, max: 4000 }), (data, size) => {
      const memory = new ArrayBuffer(size);
      const bytes = columnsJsonIn(memory, data);
      expect(bytes.equals(asEngine(data))).toBe(true);
      expect(bytes.byteOffset).toBe(0);
      // Room is made for the longest that a text could be.
      if (size > 3 * bytes.length * 26) expect(bytes.buffer).toBe(memory);
      const copy = Buffer.from(bytes);
      columnsJson({ of: data, more: [1] });
      expect(bytes.equals(copy)).toBe(true);
    }),
  );
});
