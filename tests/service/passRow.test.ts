import { expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { countsByDay, passRow } from '../../src/service/passRow.ts';
import { noState } from '../../src/service/passStates.ts';

const none = { fields: new Map(), machines: new Map(), crews: new Map(), cropsOn: () => [] };
const count = (date: string, perM2: number, fieldId = 'a') => ({
  id: `${fieldId}${perM2}`,
  data: { fieldId, date, species: 'waterhemp', perM2 },
});
const counted = (counts: Parameters<typeof countsByDay>[0], dates: readonly string[]) => {
  const known = { ...none, counts: countsByDay(counts) };
  return dates.map(
    (date) => passRow({ fieldId: 'a', date, implement: 'tine-weeder' }, known, noState('')).weedsCounted,
  );
};

test('a pass has the counts of its own field from three days before to three days after, by date', () => {
  const counts = [
    count('2026-05-16', 6),
    count('2026-05-15', 5),
    count('2026-05-12', 1, 'b'),
    count('2026-05-09', 2),
    count('2026-05-09', 3),
    count('2026-05-08', 4),
  ];
  expect(counted(counts, ['2026-05-12', '2026-05-20'])).toEqual([
    '2026-05-09 waterhemp 2/m2; 2026-05-09 waterhemp 3/m2; 2026-05-15 waterhemp 5/m2',
    null,
  ]);
});

test('a count is read for passes near it only: 300 counts and 300 passes a week apart take fewer than 1,000 looks', () => {
  let reads = 0;
  const dates = Array.from({ length: 300 }, (_, i) => isoDate(dayNumber('2020-01-01') + 7 * i));
  const counts = dates.map((date, i) => ({
    id: `c${i}`,
    get data() {
      reads++;
      return count(date, i).data;
    },
  }));
  expect(counted(counts, dates)).not.toContain(null);
  expect(reads).toBeLessThan(1000);
});
