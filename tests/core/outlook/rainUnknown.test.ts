import { expect, test } from 'vitest';
import { asOf, outlookOf, sentWeather } from './fields.ts';

const TODAY = '2026-05-20';
const { rainMm, ...sent } = sentWeather('2026-01-01', 150);
const index = 139;
/** Rain is forecast for today and so many days after it. */
const answer = (known: number, today: number | null = 0) =>
  outlookOf({
    weather: asOf(
      { ...sent, rainMm: rainMm.map((mm, i) => (i === index ? today : i > index + known ? null : mm)) },
      TODAY,
    ),
    today: TODAY,
    planting: { crop: 'field-corn', date: '2026-05-12' },
    seedbedDates: ['2026-05-11'],
    implements: [{ id: 'rotary-hoe' }, { id: 'hand-crew' }],
    horizonDays: 6,
  }).windowDays;
const reasons = (days: ReturnType<typeof answer>, implement: string) =>
  days
    .filter((day) => day.implement === implement)
    .map(({ closed }) => closed.map(({ reason }) => reason).filter((reason) => reason.startsWith('rain')));

test('days whose rain nobody forecasts wait for it, whatever is usual then', () => {
  const hoe = reasons(answer(3), 'rotary-hoe');
  expect(hoe.slice(3)).toEqual([['rain-unknown'], ['rain-unknown'], ['rain-unknown'], ['rain-unknown']]);
  expect(hoe.slice(0, 3).flat()).not.toContain('rain-unknown');
});

test('of today unknown rain closes nothing; a crew goes by the sky', () => {
  expect(reasons(answer(6, null), 'rotary-hoe')[0]).not.toContain('rain-unknown');
  expect(reasons(answer(3), 'hand-crew').slice(4).flat()).toEqual([]);
});
