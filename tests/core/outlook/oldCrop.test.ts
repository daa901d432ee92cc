import { expect, test } from 'vitest';
import { asOf, outlookOf, sentWeather } from './fields.ts';

const TODAY = '2026-05-20';
const weather = asOf(sentWeather('2023-01-01', 1260), TODAY);
const alfalfa = (date: string, weeds = ['common-lambsquarters', 'giant-foxtail']) =>
  outlookOf({
    weather,
    today: TODAY,
    planting: { crop: 'alfalfa-seeding', date },
    weeds: weeds.map((species) => ({ species })),
    implements: [{ id: 'tine-weeder' }],
    seedbedDates: [],
  });

test('flushes and their shares are of this weed year, however long ago the crop was sown', () => {
  const [old, young] = [alfalfa('2023-04-15'), alfalfa('2026-04-15')];
  expect(young.flushes.length).toBeGreaterThan(0);
  expect(old.flushes.every(({ start }) => start.date >= '2026-01-01')).toBe(true);
  const shares = ({ flushes }: typeof old) => flushes.reduce((sum, { shareFrac }) => sum + shareFrac, 0);
  expect(shares(old)).toBeGreaterThan(0.5 * shares(young));
});

test('a winter annual is counted from its autumn, beside summer annuals from New Year', () => {
  const { flushes, emergence } = alfalfa('2026-04-15', ['field-pennycress', 'giant-foxtail']);
  expect(emergence.map(({ yearFrom }) => yearFrom)).toEqual(['2025-08-01', '2026-01-01']);
  const starts = flushes.map(({ start, species }) => [start.date, species.map((one) => one.species)] as const);
  expect(starts[0]?.[0].slice(0, 4)).toBe('2025');
  expect(starts.filter(([date]) => date < '2026').flatMap(([, species]) => species)).not.toContain('giant-foxtail');
});
