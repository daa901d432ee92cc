import { expect, test } from 'vitest';
import { chosenPacking, chosenType } from '../../src/http/negotiation.ts';

const offered = ['application/json', 'text/csv', 'text/plain'] as const;

test.each([
  [undefined, 'application/json'],
  ['', 'application/json'],
  ['*/*', 'application/json'],
  ['text/csv', 'text/csv'],
  ['text/*', 'text/csv'],
  ['text/plain;q=0.9, text/csv;q=0.1', 'text/plain'],
  ['text/csv;q=0.2, application/json;q=0.1, */*;q=0.3', 'text/plain'],
  ['application/json;q=0, */*', 'text/csv'],
  ['TEXT/CSV', 'text/csv'],
])('%s gets %s', (accept, type) => {
  expect(chosenType(accept, offered)).toBe(type);
});

test.each(['image/png', 'application/json;q=0', 'nonsense'])('%s gets nothing: 406 names what there is', (accept) => {
  expect(() => chosenType(accept, offered)).toThrow(/application\/json, text\/csv, text\/plain/);
});

test.each([
  [undefined, null],
  ['', null],
  ['identity', null],
  ['gzip, deflate, br', 'br'],
  ['gzip', 'gzip'],
  ['x-gzip', 'gzip'],
  ['GZIP;q=0.5, br;q=0.1', 'gzip'],
  ['br;q=0, *', 'gzip'],
  ['br;q=0, gzip;q=0', null],
])('Accept-Encoding %s is packed as %s', (accept, packing) => {
  expect(chosenPacking(accept)).toBe(packing);
});
