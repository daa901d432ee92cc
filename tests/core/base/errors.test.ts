import { expect, test } from 'vitest';
import { errorCodes, isWhitethreadError, whitethreadError } from '../../../src/core/base/errors.ts';

test('an error carries every problem and reads as it stands', () => {
  const error = whitethreadError([
    {
      code: 'unknown-crop',
      where: 'planting.crop',
      given: 'maise',
      allowed: 'one of field-corn',
      advice: 'Look it up',
    },
    { code: 'weather-date', where: 'today', given: 'never', allowed: 'a date' },
  ]);
  expect(error.code).toBe('unknown-crop');
  expect(error.problems).toHaveLength(2);
  expect(error.message).toBe(
    'planting.crop: given maise; allowed one of field-corn. Look it up\ntoday: given never; allowed a date',
  );
});

test('it is told apart from other errors', () => {
  expect(isWhitethreadError(whitethreadError([]))).toBe(true);
  expect(whitethreadError([]).code).toBe('invalid-input');
  expect([new Error('no'), 'no', null].map(isWhitethreadError)).toEqual([false, false, false]);
});

test('no code is listed twice', () => {
  expect(new Set(errorCodes).size).toBe(errorCodes.length);
});
