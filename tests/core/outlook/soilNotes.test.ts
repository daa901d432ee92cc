import { expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { beginsWet } from '../../../src/core/outlook/soilNotes.ts';

const told = (start: string, today: string, southern = false) =>
  beginsWet(dayNumber(start), dayNumber(today), southern).map(({ code }) => code);

test('weather that begins in the dry months is told for ninety days', () => {
  expect(told('2026-08-01', '2026-10-15')).toEqual(['soil-begins-wet']);
  expect(told('2026-06-01', '2026-08-30')).toEqual(['soil-begins-wet']);
  expect(told('2026-06-01', '2026-08-31')).toEqual([]);
});

test('weather that begins after a winter is not, six months later in the south', () => {
  for (const start of ['2026-01-01', '2026-05-31', '2025-10-15']) expect(told(start, '2026-06-01')).toEqual([]);
  expect(told('2026-12-01', '2026-12-20')).toEqual([]);
  expect(told('2026-12-01', '2026-12-20', true)).toEqual(['soil-begins-wet']);
  expect(told('2026-08-01', '2026-10-15', true)).toEqual([]);
});
