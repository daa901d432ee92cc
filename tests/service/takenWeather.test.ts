import { expect, test } from 'vitest';
import { takenWeather } from '../../src/service/takenWeather.ts';

const site = { latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300, timeZone: 'America/Chicago' };
const weather = { startDate: '2026-05-01', tempMaxC: [20, 21.5], tempMinC: [10, null], rainMm: [0, 1.25] };
const taken = (text: string) => takenWeather({ type: 'json', text, before: null, site, today: '2026-06-01' }).text;

test('weather is kept as it came, its blanks too', () => {
  for (const text of [JSON.stringify(weather), JSON.stringify(weather, null, 2)]) expect(taken(text)).toBe(text);
});

test('weather that is mostly blanks is kept without them: a history of such series would be as large', () => {
  const text = JSON.stringify(weather);
  expect(taken(text.replace('[', `[${' '.repeat(1000)}`))).toBe(text);
});

test('what the reader of CSV met is told first, then what is odd about the whole series', () => {
  const rows = Array.from({ length: 10 }, (_, i) => `2026-05-${String(i + 3).padStart(2, '0')},25,10,0,calm`);
  const text = [
    'date,tmax_c,tmin_c,rain_mm,remark',
    '2026-05-01,20,-9999,T,calm',
    '2026-05-02,21,9,1,calm',
    '2026-05-02,21,9,1,calm',
    ...rows,
  ].join('\n');
  const given = { type: 'csv', text, site, today: '2026-06-01' } as const;
  const told = [
    'The same day with the same values',
    'tmin_c: 1 cell(s) held a mark',
    'rain_mm: 1 trace(s)',
    'Column remark was left out',
    'tempMinC was missing on 1 day',
    'tempMaxC is the same on 10 days',
    'tempMinC is the same on 10 days',
  ];
  const before = JSON.stringify({ startDate: '2026-04-30', tempMaxC: [19], tempMinC: [8], rainMm: [0] });
  for (const base of [null, before]) {
    const { findings } = takenWeather({ ...given, before: base });
    expect(findings).toHaveLength(told.length);
    for (const [i, words] of told.entries()) expect(findings[i]).toContain(words);
  }
});
