import { DateTime, IANAZone } from 'luxon';
import { describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { site } from '../../src/core/weather/schema.ts';
import { sunDays } from '../../src/core/windows/sun.ts';
import { dateAt, instantText } from '../../src/service/zone.ts';
import { asOf, fieldInput, outlookOf, sentWeather } from '../core/outlook/fields.ts';
import { expectLawful } from '../core/outlook/lawful.ts';

const zones = Intl.supportedValuesOf('timeZone');
const HOUR = 3_600_000;

/** The clock of a zone as the platform shows it: another road than luxon's text. */
const platformText = (ms: number, timeZone: string): string =>
  new Intl.DateTimeFormat('sv-SE', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  })
    .format(ms)
    .replace(' ', 'T');

/** First instants after each change of a zone's clock in 2026. */
const changesOf = (timeZone: string): number[] => {
  const zone = IANAZone.create(timeZone);
  const changes: number[] = [];
  for (let ms = Date.UTC(2026, 0, 1); ms < Date.UTC(2027, 0, 1); ms += 24 * HOUR) {
    let low = ms;
    let high = ms + 24 * HOUR;
    if (zone.offset(low) === zone.offset(high)) continue;
    while (high - low > 1000) {
      const middle = (low + high) / 2;
      if (zone.offset(middle) === zone.offset(low)) low = middle;
      else high = middle;
    }
    changes.push(high);
  }
  return changes;
};

describe('every IANA zone of this platform', () => {
  const changing = zones.filter((zone) => changesOf(zone).length > 0);

  test('there are more than 400, and more than 100 change their clocks in 2026', () => {
    expect(zones.length).toBeGreaterThan(400);
    expect(changing.length).toBeGreaterThan(100);
  });

  test('instants around each change, New Year and 29 February read as the platform reads them, and go back unharmed', () => {
    const always = [
      Date.UTC(2026, 11, 31, 12),
      Date.UTC(2027, 0, 1, 12),
      Date.UTC(2024, 1, 29, 12),
      Date.UTC(2000, 1, 29),
    ];
    let read = 0;
    for (const timeZone of zones)
      for (const centre of [...always, ...changesOf(timeZone)])
        for (let quarter = -12; quarter <= 12; quarter++) {
          const ms = Math.round((centre + (quarter * HOUR) / 4) / 1000) * 1000;
          const text = instantText(ms, timeZone);
          expect(text.slice(0, 19), `${timeZone} ${ms}`).toBe(platformText(ms, timeZone));
          expect(dateAt(ms, timeZone)).toBe(text.slice(0, 10));
          expect(DateTime.fromISO(text).toMillis()).toBe(ms);
          read++;
        }
    expect(read).toBeGreaterThan(zones.length * 4 * 25);
  });

  test('is a time zone of a site, and its noon falls on the civil day it is asked for, also when clocks change', () => {
    for (const timeZone of zones) {
      const centre = changesOf(timeZone)[0] ?? Date.UTC(2026, 5, 1);
      // A longitude that suits the zone's standard clock; none is published with the zone.
      const longitudeDeg = Math.max(-180, Math.min(180, IANAZone.create(timeZone).offset(Date.UTC(2026, 0, 1)) / 4));
      const place = site.parse({ latitudeDeg: 40, longitudeDeg, timeZone });
      const first = dayNumber(dateAt(centre, timeZone)) - 2;
      sunDays(place, first, 5).forEach((sun, i) => {
        expect(dateAt(sun.noonMs, timeZone), timeZone).toBe(isoDate(first + i));
      });
    }
  });

  test('hours of the outlook stay on their civil day on the days when clocks change', () => {
    const weather = sentWeather('2026-01-01', 365, { meanC: 16, swingC: 6 });
    let hours = 0;
    for (const timeZone of changing) {
      const centre = changesOf(timeZone)[0] as number;
      const today = isoDate(dayNumber(dateAt(centre, timeZone)) - 1);
      const longitudeDeg = Math.max(-180, Math.min(180, IANAZone.create(timeZone).offset(Date.UTC(2026, 0, 1)) / 4));
      const answer = outlookOf({
        ...fieldInput(),
        site: { latitudeDeg: 40, longitudeDeg, timeZone },
        weather: asOf(weather, today),
        planting: { crop: 'oats', date: '2026-01-20' },
        seedbedDates: [],
        implements: [{ id: 'hand-crew' }],
        today,
        horizonDays: 3,
      });
      expectLawful(answer);
      for (const day of answer.windowDays) {
        if (day.hours === null) continue;
        hours++;
        expect(dateAt(day.hours.fromMs, timeZone), timeZone).toBe(day.date);
        expect(dateAt(day.hours.toMs, timeZone), timeZone).toBe(day.date);
      }
    }
    expect(hours).toBeGreaterThan(2 * changing.length);
  });
});
