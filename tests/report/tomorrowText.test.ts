import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { bestPass } from '../../src/core/windows/best.ts';
import type { WindowDay } from '../../src/core/windows/schema.ts';
import { passWindows } from '../../src/core/windows/windows.ts';
import { tomorrowCsv } from '../../src/report/tomorrowCsv.ts';
import { tomorrowText } from '../../src/report/tomorrowText.ts';
import type { ShownWindowDay, TomorrowAnswer } from '../../src/service/schema.ts';
import { shownDay } from '../support/shownDay.ts';

const TODAY = '2026-05-12';
const passToday = { code: 'pass-made-today', text: 'A pass of this day is named.' };
const dateOf = (i: number): string => `2026-05-${12 + i}`;
const wait = { opensNextDay: true, scoreChange: -6, outOfWhiteThreadFrac: 0 };
const windowDay = (date: string, change: Partial<ShownWindowDay> = {}): ShownWindowDay =>
  shownDay(date, 'rotary-hoe', { wait, ...change });
type Field = TomorrowAnswer['fields'][number];
const field = (change: Partial<Field> = {}): Field => {
  const whole = {
    name: 'Invented Ridge',
    crop: null,
    companions: [],
    runningFlush: null,
    nextFlush: null,
    windowDays: [windowDay(TODAY), windowDay(dateOf(1), { score: 4 })],
    notes: [],
    cautions: [],
    ...change,
  } as unknown as Field;
  const taken = new Set<string>(whole.notes.map(({ code }) => (code === passToday.code ? TODAY : '')));
  return {
    ...whole,
    windows: passWindows(whole.windowDays as unknown as WindowDay[], taken),
    best: bestPass(whole.windowDays.filter(({ date }) => !taken.has(date))),
  };
};
const answer = (change: Partial<TomorrowAnswer> = {}): TomorrowAnswer => ({
  farm: 'Invented Farm',
  invented: false,
  today: TODAY,
  timeZone: 'UTC',
  remarks: [],
  weather: Array.from({ length: 15 }, (_, i) => ({
    date: dateOf(i),
    tempMaxC: 20 + i,
    tempMinC: 8,
    rainMm: 0,
    origin: 'climatology' as const,
  })),
  fields: [field()],
  failed: [],
  ...change,
});

test('all days of the weather are shown, those that do not fit the page below', () => {
  const text = tomorrowText(answer(), 'metric');
  for (const day of ['Tue 12', 'Mon 18', 'Tue 19', 'Tue 26']) expect(text).toContain(day);
  expect(text.match(/^ {2}highest/gm)).toHaveLength(3);
  expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
});

test('a pass of today that is recorded sends nobody there today', () => {
  expect(tomorrowText(answer(), 'metric')).toContain('Best: Tue 12 May, rotary hoe, score 10.');
  const made = answer({ fields: [field({ notes: [passToday] })] });
  expect(tomorrowText(made, 'metric').replaceAll(/\s+/g, ' ')).toContain(
    'today is told as it was before. Best: Wed 13 May, rotary hoe, score 4.',
  );
  const alone = answer({ fields: [field({ notes: [passToday], windowDays: [windowDay(TODAY)] })] });
  expect(tomorrowText(alone, 'metric').replaceAll(/\s+/g, ' ')).toContain('Nothing is open in the days after it.');
});

test('where nothing that is open saves yield, no day is best, and seed is not counted', () => {
  const text = tomorrowText(answer({ fields: [field({ windowDays: [windowDay(TODAY, { score: 0 })] })] }), 'metric');
  expect(text.replaceAll(/\s+/g, ' ')).toContain(
    "No day is best: the passes that are open save no more of this year's yield than they cost. Seed that would fall is not counted;",
  );
});

test('the day of sowing is named beside the best pass, and a next day without forecast of rain is not called closed', () => {
  const sowing = { code: 'sowing-day', text: 'Corn is sown on 2026-05-12.' };
  const told = (next: { opensNextDay: boolean | null; scoreChange: number | null }) => {
    const windowDays = [windowDay(TODAY, { wait: { ...next, outOfWhiteThreadFrac: 0 } })];
    return tomorrowText(answer({ fields: [field({ windowDays, notes: [sowing] })] }), 'metric').replaceAll(/\s+/g, ' ');
  };
  expect(told({ opensNextDay: null, scoreChange: null })).toContain('One day later: rain not yet forecast, 0 % of');
  const closed = { opensNextDay: false, scoreChange: -10 };
  expect(told(closed)).toContain('One day later: closed, 0 % of');
  expect(told(closed)).toContain('out of the white thread. Corn is sown on 2026-05-12.');
});

test.each([
  [4.4, 0.2, 'nearly the same score'],
  [4.4, 0.7, 'score 1 higher'],
  [4.2, 0.1, 'the same score'],
])('waiting a day is told beside rows of whole points: from %f by %f is %s', (score, scoreChange, told) => {
  const wait = { opensNextDay: true, scoreChange, outOfWhiteThreadFrac: 0 };
  const text = tomorrowText(answer({ fields: [field({ windowDays: [windowDay(TODAY, { score, wait })] })] }), 'metric');
  expect(text.replaceAll(/\s+/g, ' ')).toContain(`score 4. One day later: ${told},`);
});

test('CSV has the remarks of a stored field alone, where the farm has those of others too', () => {
  const told = answer({ remarks: ['Of this.', 'Of another.'], fields: [field({ remarks: ['Of this.'] })] });
  const rows = parse(tomorrowCsv(told, 'metric'), { columns: true }) as Record<string, string>[];
  expect(rows.map(({ remarks }) => remarks)).toEqual(['Of this.', 'Of this.']);
});

test('CSV has the notes of the field, the remarks of the farm, and that it is invented', () => {
  const told = answer({
    invented: true,
    remarks: ['Its weather is that of Ridge.'],
    fields: [field({ notes: [passToday] })],
  });
  const rows = parse(tomorrowCsv(told, 'metric'), { columns: true }) as Record<string, string>[];
  expect(rows.map(({ notes, remarks, invented }) => [notes, remarks, invented])).toEqual(
    Array(2).fill(['A pass of this day is named.', 'Its weather is that of Ridge.', 'true']),
  );
});
