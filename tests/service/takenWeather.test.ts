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
