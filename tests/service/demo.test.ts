import { expect, test } from 'vitest';
import { fieldRequest } from '../../src/core/outlook/schema.ts';
import { dated, demoFarm } from '../../src/service/demo.ts';

test('offsets from today become dates anywhere in a file, other texts stay', () => {
  expect(
    dated({ a: ['today', 'today-1', 'today+9'], b: { date: 'today-20', name: 'todays hay' }, n: 3 }, 20_000),
  ).toEqual({
    a: ['2024-10-04', '2024-10-03', '2024-10-13'],
    b: { date: '2024-09-14', name: 'todays hay' },
    n: 3,
  });
});

test.each([
  ['2026-04-09', -39.2, 'America/Argentina/Buenos_Aires'],
  ['2026-04-10', 41.7, 'America/Chicago'],
  ['2026-10-09', 41.7, 'America/Chicago'],
  ['2026-10-10', -39.2, 'America/Argentina/Buenos_Aires'],
  ['2027-01-01', -39.2, 'America/Argentina/Buenos_Aires'],
  ['2028-02-29', -39.2, 'America/Argentina/Buenos_Aires'],
])('on %s the demo farm lies at latitude %d, where it is the growing season', (today, latitudeDeg, timeZone) => {
  const farm = demoFarm(today);
  expect(farm.invented).toBe(true);
  expect(farm.timeZone).toBe(timeZone);
  for (const field of farm.fields) {
    expect(field.site).toMatchObject({ latitudeDeg, timeZone });
    expect(field.today).toBe(today);
    expect(() => fieldRequest.parse(field)).not.toThrow();
  }
});

test('its weather runs from 160 days before today to 9 days after, and today starts the forecast', () => {
  const weather = demoFarm('2026-05-15').fields[0]?.weather;
  expect(weather?.startDate).toBe('2025-12-06');
  expect(weather?.tempMaxC).toHaveLength(170);
  expect(weather?.forecastFrom).toBe('2026-05-15');
});
