import { InvalidArgumentError } from 'commander';
import { expect, test } from 'vitest';
import {
  dateArgument,
  lengthCm,
  lengthM,
  listOf,
  monthDayArgument,
  numberBetween,
  textureArgument,
  wholeBetween,
  word,
} from '../../src/cli/arguments.ts';

test.each(['silt loam', 'silt-loam', 'SiltLoam', ' Silt_Loam '])('texture %o is silt-loam', (text) => {
  expect(textureArgument(text)).toBe('silt-loam');
});

test('an unknown texture is refused with the twelve classes', () => {
  expect(() => textureArgument('gravel')).toThrow(/sand, loamy-sand, .*clay/);
});

test('lengths: 1.5 in is 3.81 cm, 1100 ft is 335.28 m, bare numbers are cm and m', () => {
  expect(lengthCm('1.5in')).toBeCloseTo(3.81, 10);
  expect(lengthCm('4')).toBe(4);
  expect(lengthCm('4 cm')).toBe(4);
  expect(lengthM('1100ft')).toBeCloseTo(335.28, 10);
  expect(lengthM('-12')).toBe(-12);
  expect(() => lengthCm('4ft')).toThrow(InvalidArgumentError);
  expect(() => lengthM('high')).toThrow(InvalidArgumentError);
});

test.each([
  [numberBetween(-90, 90), '91'],
  [numberBetween(-90, 90), ''],
  [numberBetween(-90, 90), 'north'],
  [wholeBetween(0, 366), '1.5'],
  [dateArgument, '2026-02-30'],
  [dateArgument, '15 May'],
  [monthDayArgument, '13-01'],
  [monthDayArgument, '4-1'],
  [word, 'Rotary Hoe'],
  [listOf(word), 'rotary-hoe,,'],
])('%o refuses %o', (read, text) => {
  expect(() => (read as (text: string) => unknown)(text)).toThrow(InvalidArgumentError);
});

test('lists are read item by item, blanks around commas or not', () => {
  expect(listOf(wholeBetween(1900, 2100))('2016, 2017')).toEqual([2016, 2017]);
});
