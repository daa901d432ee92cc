import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { outlook } from '../../../src/core/outlook/outlook.ts';
import { catalogue } from './fields.ts';

const sent = JSON.parse(readFileSync('docs/examples/field.json', 'utf8'));

test('half is up once the date of 50 % is past, whatever passes killed of it', () => {
  const { emergence } = outlook(
    {
      ...sent,
      today: '2026-05-14',
      seedbedDates: ['2026-04-25', '2026-05-07'],
      passes: [{ date: '2026-05-12', implement: 'rotary-hoe' }],
      weather: { ...sent.weather, forecastFrom: '2026-05-15' },
    },
    catalogue,
  );
  const dated = emergence.flatMap(({ upFrac, p10, p50 }) => [
    ...(p10 === null ? [] : [[upFrac >= 0.1, p10.date < '2026-05-14']]),
    ...(p50 === null ? [] : [[upFrac >= 0.5, p50.date < '2026-05-14']]),
  ]);
  expect(dated).toContainEqual([true, true]);
  for (const [isUp, isPast] of dated) expect(isUp).toBe(isPast);
  const { upFrac, p50 } = emergence.find(
    ({ species }) => species === 'common-lambsquarters',
  ) as (typeof emergence)[number];
  expect(p50?.date).toBe('2026-05-10');
  expect(upFrac).toBeGreaterThan(0.5);
});
