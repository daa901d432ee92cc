import { expect, test } from 'vitest';
import type { Flush } from '../../src/core/outlook/schema.ts';
import { flushText } from '../../src/report/fieldText.ts';

const band = (day: number) => {
  const date = (d: number) => `2026-05-${String(d).padStart(2, '0')}`;
  return { date: date(day), earliest: date(day - 2), latest: date(day + 2) };
};
const flush = (change: Partial<Flush>): Flush => ({
  start: band(8),
  peak: band(14),
  end: band(20),
  shareFrac: 0.4,
  goesOn: false,
  species: [],
  whiteThreadFrom: band(9),
  whiteThreadPeak: band(10),
  whiteThreadTo: band(12),
  ...change,
});

test('a wave whose peak is past is no next one, and one that the weather cuts off says so', () => {
  const thread = 'white thread 9 May (7 to 11 May) to 12 May (10 to 14 May)';
  const peak = "14 May (12 to 16 May), 40 % of the year's seedlings";
  expect(flushText(flush({}), '2026-05-14')).toBe(`Next flush: peaks ${peak}; ${thread}`);
  expect(flushText(flush({}), '2026-05-15')).toBe(`Running flush: peaked ${peak}; ${thread}`);
  expect(flushText(flush({ goesOn: true }), '2026-05-14')).toBe(
    `Next flush: peaks ${peak} by 20 May, as far as the weather goes; ${thread}`,
  );
  expect(flushText(flush({ goesOn: true }), '2026-05-15')).toBe(
    "Running flush: most so far on 14 May (12 to 16 May), its peak may still come; 40 % of the year's seedlings by 20 May, as far as the weather goes",
  );
  expect(flushText(null, '2026-05-14')).toBe('Next flush: no wave of seedlings within the days known');
});
