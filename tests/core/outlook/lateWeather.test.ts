import { describe, expect, test } from 'vitest';
import { asOf, outlookOf, sentWeather } from './fields.ts';

const answer = (startDate: string, today: string, latitudeDeg = 42) =>
  outlookOf({
    site: { latitudeDeg, longitudeDeg: 0 },
    weather: asOf(sentWeather(startDate, 220, { southern: latitudeDeg < 0 }), today),
    today,
    planting: undefined,
    seedbedDates: [],
  });
const lateNote = (...of: Parameters<typeof answer>) =>
  answer(...of).notes.find(({ code }) => code === 'weather-starts-late')?.text;

describe('weather that starts late', () => {
  test.each([
    ['2025-08-01', '2026-01-01', 42],
    ['2025-08-01', '2026-02-28', 42],
    ['2026-02-01', '2026-07-01', -42],
    ['2026-02-01', '2026-08-30', -42],
  ])('from %s is early enough on %s at %d degrees: summer annuals have yet to begin their year', (...of) =>
    expect(lateNote(...of)).toBeUndefined(),
  );

  test.each([
    ['2025-08-01', '2025-12-31', 42],
    ['2026-03-15', '2026-05-20', 42],
    ['2025-09-15', '2025-11-20', -42],
  ])('from %s is too late on %s at %d degrees', (...of) => expect(lateNote(...of)).toContain('waterhemp'));

  test('in a season that is over counts as up what came before it; it has no dates, and the note does not promise any', () => {
    const { emergence } = answer('2025-08-01', '2025-09-20');
    expect(emergence.map(({ upFrac, p50 }) => [upFrac > 0.99, p50])).toEqual(emergence.map(() => [true, null]));
    expect(lateNote('2025-08-01', '2025-09-20')).toContain('come out too late or are missing');
  });
});
