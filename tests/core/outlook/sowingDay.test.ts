import { expect, test } from 'vitest';
import { asOf, outlookOf, sentWeather } from './fields.ts';

const TODAY = '2026-05-10';
const SOWN = '2026-05-12';
const { rainMm, ...showery } = sentWeather('2026-01-01', 150);
/** Dry from a week before on. */
const weather = { ...showery, rainMm: rainMm.map((mm, i) => (i > 122 ? 0 : mm)) };
const answer = outlookOf({
  weather: asOf(weather, TODAY),
  today: TODAY,
  planting: { crop: 'field-corn', date: SOWN },
  seedbedDates: [],
  implements: [{ id: 'seedbed-cultivator' }, { id: 'rotary-hoe' }],
  horizonDays: 4,
});
const closedOn = (date: string, implement: string) =>
  answer.windowDays.find((day) => day.date === date && day.implement === implement)?.closed.map(({ reason }) => reason);

// Last pass within a day of planting: stale seedbed practice as the extension services describe it.
test('on the day of sowing the seedbed may be worked as the day before, and no longer the day after', () => {
  expect(closedOn(SOWN, 'seedbed-cultivator')).toEqual(closedOn('2026-05-11', 'seedbed-cultivator'));
  expect(closedOn(SOWN, 'seedbed-cultivator')).not.toContain('crop-not-listed');
  expect(closedOn('2026-05-13', 'seedbed-cultivator')).toContain('crop-not-listed');
});

test('a pass of that day costs no stand, as its record will say, and a note tells what it is for', () => {
  const sowing = answer.windowDays.filter(({ date }) => date === SOWN);
  expect(sowing.some(({ open }) => open)).toBe(true);
  expect(sowing.map(({ standLossFrac }) => standLossFrac)).toEqual([0, 0]);
  expect(answer.notes.find(({ code }) => code === 'sowing-day')?.text).toContain(`field corn is sown on ${SOWN}`);
});
