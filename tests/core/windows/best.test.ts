import { expect, test } from 'vitest';
import { bestPass } from '../../../src/core/windows/best.ts';

const day = (date: string, implement: string, score: number, open = true) => ({ date, implement, score, open });
const dayOf = (...days: Parameters<typeof bestPass>[0]) => bestPass(days)?.date.slice(5) ?? null;

test('a machine goes before a crew, which is named where nothing else is open', () => {
  const crew = day('2026-05-14', 'hand-crew', 90);
  const hoe = day('2026-05-12', 'rotary-hoe', 10);
  expect(bestPass([crew, hoe])).toEqual({ date: '2026-05-12', implement: 'rotary-hoe', score: 10 });
  expect(bestPass([crew, { ...hoe, open: false }])).toEqual({ date: '2026-05-14', implement: 'hand-crew', score: 90 });
  expect(bestPass([{ ...hoe, open: false }])).toBeNull();
});

test('a day on which a pass costs more than it saves is no best one, nor hides one that is', () => {
  const mower = day('2026-05-12', 'mower', 0);
  expect(bestPass([mower])).toBeNull();
  expect(dayOf(mower, day('2026-05-13', 'mower', 0.3))).toBe('05-13');
  expect(dayOf(mower, day('2026-05-14', 'hand-crew', 90))).toBe('05-14');
});

test('of days whose scores are alike the earlier is best; of two tools on it, the better', () => {
  const days = [
    day('2026-05-12', 'rotary-hoe', 9.6),
    day('2026-05-12', 'tine-weeder', 9.7),
    day('2026-05-14', 'rotary-hoe', 10),
  ];
  expect(bestPass(days)).toEqual({ date: '2026-05-12', implement: 'tine-weeder', score: 9.7 });
  expect(bestPass(days.toReversed())?.date).toBe('2026-05-12');
  expect(dayOf(...days, day('2026-05-15', 'rotary-hoe', 10.3))).toBe('05-14');
});
