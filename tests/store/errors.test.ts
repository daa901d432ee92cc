import { expect, test } from 'vitest';
import { isWhitethreadError, whitethreadError } from '../../src/core/base/errors.ts';
import { storeError } from '../../src/store/errors.ts';

const failure = (code: string): Error => Object.assign(new Error(`it said ${code}`), { code });
const codeFor = (thrown: unknown): string => {
  const error = storeError(thrown);
  return isWhitethreadError(error) ? error.code : 'unchanged';
};

test.each([
  ['store-full', ['SQLITE_FULL', 'ENOSPC', '53100']],
  ['store-read-only', ['SQLITE_READONLY', 'SQLITE_READONLY_DBMOVED', 'EROFS', 'EACCES', '25006', '42501']],
  [
    'store-unavailable',
    [
      ...['SQLITE_BUSY', 'SQLITE_BUSY_SNAPSHOT', 'SQLITE_IOERR_WRITE', 'SQLITE_IOERR_FSYNC', 'SQLITE_CORRUPT'],
      ...['SQLITE_CANTOPEN', 'ECONNREFUSED', 'ECONNRESET', 'ETIMEDOUT', 'EPIPE', 'ENOTFOUND'],
      ...['57P01', '57P03', '57014', '08006', '08001', '53300', '40001', '40P01', '28P01', '3D000', 'XX000'],
    ],
  ],
  ['store-version', ['SQLITE_NOTADB']],
  ['unchanged', ['SQLITE_ERROR', 'SQLITE_CONSTRAINT_CHECK', 'SQLITE_MISMATCH', '42601', '42P01', '23505', '22021']],
])('%s: %j', (wanted, codes) => {
  expect(codes.map((code) => codeFor(failure(code)))).toEqual(codes.map(() => wanted));
});

test('a driver that ends, or waits too long, without a code is store-unavailable, with its own error as the cause', () => {
  const thrown = new Error('Connection terminated unexpectedly');
  expect(storeError(thrown)).toMatchObject({ code: 'store-unavailable', cause: thrown });
  expect(codeFor(new Error('timeout exceeded when trying to connect'))).toBe('store-unavailable');
});

test('a fault of the program and an error of ours stay what they are', () => {
  const ours = whitethreadError([{ code: 'not-found', where: 'field', given: 'a', allowed: 'b' }]);
  for (const thrown of [ours, new TypeError('x is no function'), new RangeError('too deep'), 'text'])
    expect(storeError(thrown)).toBe(thrown);
});
