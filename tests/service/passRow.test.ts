import { expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import type { DailyWeather } from '../../src/core/weather/schema.ts';
import { countsByDay, type Known, passRow } from '../../src/service/passRow.ts';
import { noState } from '../../src/service/passStates.ts';

const none: Omit<Known, 'counts'> = { fields: new Map(), machines: new Map(), crews: new Map(), cropsOn: () => [] };
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

const rowOn = (date: string, weather: DailyWeather | null, unknown: readonly string[] = []) =>
  passRow(
    { fieldId: 'a', date, implement: 'tine-weeder' },
    { ...none, counts: new Map() },
    { ...noState(''), weather, unknown },
  );

test('a row says what of its weather was not observed: a forecast, and what nobody knows', () => {
  const weather = {
    startDate: '2026-05-01',
    forecastFrom: '2026-05-04',
    tempMaxC: [20, null, 20, 20, null],
    tempMinC: [10, 10, 10, 10, 10],
    rainMm: [0, 0, null, 0, null],
  };
  const told = ['01', '02', '03', '04', '05'].map((day) => rowOn(`2026-05-${day}`, weather).unknown);
  const forecast = 'the weather of the day is forecast, not observed';
  expect(told).toEqual([
    null,
    'the temperature of the day is not known',
    'the rain of the day is not known',
    forecast,
    `${forecast}; the temperature of the day is not known; the rain of the day is not known`,
  ]);
  expect(rowOn('2026-05-04', weather, ['far away']).unknown).toBe(`far away; ${forecast}`);
  expect(rowOn('2026-05-04', null, ['no weather']).unknown).toBe('no weather');
});

test('a temperature that was given in Fahrenheit has no tail of the conversion', () => {
  const weather = { startDate: '2026-05-01', tempMaxC: [(38 * 5) / 9], tempMinC: [8.800000000000002], rainMm: [2.54] };
  expect(rowOn('2026-05-01', weather)).toMatchObject({ tempMaxC: 21.111111, tempMinC: 8.8, rainMm: 2.54 });
});

test.each([
  ['seedbed', 'seedbed cultivation'],
  ['seedbed-cultivator', 'seedbed cultivation'],
  ['rotary-hoe', 'weed control'],
])('a pass with the %s is %s', (implement, operation) => {
  const row = passRow({ fieldId: 'a', date: '2026-05-01', implement }, { ...none, counts: new Map() }, noState(''));
  expect(row.operation).toBe(operation);
});
