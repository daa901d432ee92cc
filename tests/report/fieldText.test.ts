import { expect, test } from 'vitest';
import type { Flush } from '../../src/core/outlook/schema.ts';
import { flushTexts, threadText } from '../../src/report/fieldText.ts';
import { nextFlush, runningFlush } from '../../src/service/answer.ts';

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

const TODAY = '2026-05-15';
const thread = 'white thread 9 May (7 to 11 May) to 12 May (10 to 14 May)';
const peak = "14 May (12 to 16 May), 40 % of the year's seedlings";
const small = { ...flush({ shareFrac: 0.02 }), peak: band(24) };

test('a wave whose peak is past is no next one, and one that the weather cuts off says so', () => {
  const next = (change: Partial<Flush>) => flushTexts({ runningFlush: null, nextFlush: flush(change) }, '2026-05-14');
  const running = (change: Partial<Flush>) => flushTexts({ runningFlush: flush(change), nextFlush: null }, TODAY);
  expect(next({})).toEqual([`Next flush: peaks ${peak}; ${thread}`]);
  expect(running({})).toEqual([`Running flush: peaked ${peak}; ${thread}`]);
  expect(next({ goesOn: true })).toEqual([`Next flush: peaks ${peak} by 20 May, where the days known end; ${thread}`]);
  expect(running({ goesOn: true })).toEqual([
    "Running flush: most so far on 14 May (12 to 16 May), its peak may still come; 40 % of the year's seedlings by 20 May, where the days known end; white thread 9 May (7 to 11 May) to 12 May (10 to 14 May)",
  ]);
  expect(flushTexts({ runningFlush: null, nextFlush: null }, TODAY)).toEqual([
    'Next flush: no wave of seedlings within the days known',
  ]);
});

test('one day of white threads is told as one day, between the earliest and the latest of it', () => {
  const told = flush({ whiteThreadFrom: band(9), whiteThreadTo: { ...band(9), latest: '2026-05-14' } });
  expect(threadText(told, TODAY)).toBe('white thread 9 May (7 to 14 May)');
});

test('a wave that runs and a small one after it are both told, the running one first', () => {
  expect(flushTexts({ runningFlush: flush({}), nextFlush: small }, TODAY)).toEqual([
    `Running flush: peaked ${peak}; ${thread}`,
    `Next flush: peaks 24 May (22 to 26 May), 2 % of the year's seedlings; ${thread}`,
  ]);
});

test('a wave that has peaked runs through its last day; one whose peak is today is the next', () => {
  const told = (today: string) => {
    const outlook = { flushes: [flush({}), small], today };
    return [runningFlush(outlook)?.shareFrac ?? null, nextFlush(outlook)?.shareFrac ?? null];
  };
  expect(told('2026-05-14')).toEqual([null, 0.4]);
  expect(told('2026-05-15')).toEqual([0.4, 0.02]);
  expect(told('2026-05-20')).toEqual([0.4, 0.02]);
  expect(nextFlush({ flushes: [flush({})], today: TODAY })).toBeNull();
});

test('a wave that goes on runs today, though its seedlings are known to yesterday alone; one that ended yesterday does not', () => {
  const today = '2026-05-21';
  for (const peak of [band(14), band(20)]) {
    const on = { flushes: [flush({ peak, goesOn: true })], today };
    expect([runningFlush(on)?.peak, nextFlush(on)]).toEqual([peak, null]);
  }
  expect(runningFlush({ flushes: [flush({})], today })).toBeNull();
});
