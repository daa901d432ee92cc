import { Body, Observer, SearchRiseSet } from 'astronomy-engine';
import { describe, expect, it } from 'vitest';
import { dayNumber, instantMs } from '../../src/core/base/day.ts';
import { sunDays } from '../../src/core/windows/sun.ts';

const HOUR = 3_600_000;
const MINUTE = 60_000;

/** Places of round numbers from the tropics to beyond 60 degrees, each in a zone of its longitude. */
const places = [
  ['0 N, 78 W', 0, -78, 'America/Guayaquil'],
  ['20 S, 48 W', -20, -48, 'America/Sao_Paulo'],
  ['31 S, 149 E', -31, 149, 'Australia/Sydney'],
  ['42 N, 94 W', 42, -94, 'America/Chicago'],
  ['45 S, 170 E', -45, 170, 'Pacific/Auckland'],
  ['52 N, 0 E', 52, 0, 'Europe/London'],
  ['60 N, 25 E', 60, 25, 'Europe/Helsinki'],
  ['14 S, 172 W', -14, -172, 'Pacific/Apia'],
] as const;

describe('sunrise and sunset within 2 minutes of astronomy-engine, every third day of 2026', () => {
  it.each(places)('%s', (_, latitudeDeg, longitudeDeg, timeZone) => {
    const first = dayNumber('2026-01-01');
    const suns = sunDays({ latitudeDeg, longitudeDeg, elevationM: 0, timeZone }, first, 365);
    const observer = new Observer(latitudeDeg, longitudeDeg, 0);
    let worst = 0;
    let compared = 0;
    for (let i = 0; i < 365; i += 3) {
      const sun = suns[i] as (typeof suns)[number];
      const rise = sun.noonMs + (sun.riseHour - 12) * HOUR;
      const set = sun.noonMs + (sun.setHour - 12) * HOUR;
      for (const [direction, ours] of [
        [1, rise],
        [-1, set],
      ] as const) {
        const theirs = SearchRiseSet(Body.Sun, observer, direction, new Date(ours - 6 * HOUR), 1);
        worst = Math.max(worst, Math.abs((theirs?.date.valueOf() ?? Number.NaN) - ours) / MINUTE);
        compared++;
      }
    }
    expect(compared).toBe(2 * 122);
    expect(worst).toBeLessThan(2);
  });
});

describe('beyond the polar circle', () => {
  const at = (latitudeDeg: number, date: string) =>
    sunDays({ latitudeDeg, longitudeDeg: 15, elevationM: 0, timeZone: 'Arctic/Longyearbyen' }, dayNumber(date), 7);
  it('78 N has 24 hours of day in June and none in December', () => {
    for (const sun of at(78, '2026-06-18')) expect(sun.setHour - sun.riseHour).toBe(24);
    for (const sun of at(78, '2026-12-18')) expect(sun.setHour - sun.riseHour).toBe(0);
  });
  it('65 N has more than 21 hours in June and less than 4 in December (common knowledge of the far north)', () => {
    for (const sun of at(65, '2026-06-18')) expect(sun.setHour - sun.riseHour).toBeGreaterThan(21);
    for (const sun of at(65, '2026-12-18')) expect(sun.setHour - sun.riseHour).toBeLessThan(4);
  });
});

it('solar noon falls on the civil day of the zone, also west of the date line with an eastern clock', () => {
  const first = dayNumber('2026-03-01');
  const [sun] = sunDays({ latitudeDeg: -14, longitudeDeg: -172, elevationM: 0, timeZone: 'Pacific/Apia' }, first, 1);
  const noon = new Intl.DateTimeFormat('sv-SE', { timeZone: 'Pacific/Apia' }).format(sun?.noonMs);
  expect(noon).toBe('2026-03-01');
  expect(Math.abs((sun?.noonMs ?? 0) - instantMs(first, -1))).toBeLessThan(2 * HOUR);
});
