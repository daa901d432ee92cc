import { describe, expect, test } from 'vitest';
import { asOf, outlookOf, sentWeather } from './fields.ts';

const TODAY = '2026-05-20';
const site = { latitudeDeg: 37.4, longitudeDeg: -6 };
const mild = asOf(sentWeather('2025-08-01', 308, { meanC: 19, swingC: 8.5 }), TODAY);
const wheat = (weather = mild) =>
  outlookOf({
    site,
    weather,
    today: TODAY,
    seedbedDates: ['2025-11-14'],
    planting: { crop: 'winter-wheat', date: '2025-11-15' },
    implements: [{ id: 'tine-weeder' }],
  });

describe('winter wheat', () => {
  test('of a mild winter shoots in spring, and a note tells that its rest ended by the date', () => {
    const { crop, notes, windowDays } = wheat();
    expect(crop?.heightCm).toBeGreaterThan(50);
    expect(windowDays.every(({ open }) => !open)).toBe(true);
    expect(notes.find(({ code }) => code === 'rest-ended-by-date')?.text).toContain('2026-03-01');
  });

  test('of a cold winter has no such note', () => {
    const { notes } = wheat(asOf(sentWeather('2025-08-01', 308), TODAY));
    expect(notes.map(({ code }) => code)).not.toContain('rest-ended-by-date');
  });
});

describe('a note that weeds may come with the rain of winter', () => {
  const told = (latitudeDeg: number, weather: ReturnType<typeof sentWeather>) =>
    outlookOf({ site: { latitudeDeg, longitudeDeg: 0 }, weather: asOf(weather, '2024-05-20') }).notes.some(
      ({ code, text }) => code === 'mild-winter' && text.includes('do not take 0 % up as knowledge'),
    );

  test.each([
    // January at 10.5 C, as at Seville or Porto; 7 C in July, as in western Victoria; frost on the southern plains.
    [37.4, { meanC: 19, swingC: 8.5 }, true],
    [41, { meanC: 19, swingC: 8.5 }, true],
    [-37.5, { meanC: 13, swingC: 5.5, southern: true }, true],
    [36, { meanC: 14, swingC: 14 }, false],
    [42, {}, false],
    [-42, { southern: true }, false],
  ])('at %d degrees goes by the winter that was sent, %j: %s', (latitudeDeg, climate, mild) =>
    expect(told(latitudeDeg, sentWeather('2023-05-01', 500, climate))).toBe(mild),
  );

  test.each([
    [36, true],
    [37.4, false],
    [-35, true],
  ])('at %d degrees goes by latitude where the weather holds no winter: %s', (latitudeDeg, mild) =>
    expect(told(latitudeDeg, sentWeather('2024-03-01', 90, { meanC: 19, swingC: 8.5 }))).toBe(mild),
  );
});
