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
