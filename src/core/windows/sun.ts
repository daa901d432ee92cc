import { getTimes } from 'suncalc';
import { type DayNumber, instantMs } from '../base/day.ts';
import { zoneOffsetH } from '../base/zone.ts';
import type { Site } from '../weather/schema.ts';

/** Solar noon of a day as an instant, and sunrise and sunset in hours of the sun's own clock, on which noon is 12. */
export type Sun = { readonly noonMs: number; readonly riseHour: number; readonly setHour: number };

const MS_PER_HOUR = 3_600_000;

/**
 * Sun of one day from suncalc. Where it never sets the day is 0 to 24, where it never rises 12 to 12.
 * @param day the civil day at the site's longitude
 */
const sunOn = (day: DayNumber, { latitudeDeg, longitudeDeg }: Site): Sun => {
  // suncalc takes the solar day of the instant it is given, so the instant must be the place's own noon.
  const times = getTimes(new Date(instantMs(day, 12 - longitudeDeg / 15)), latitudeDeg, longitudeDeg);
  const noonMs = times.solarNoon.valueOf();
  if (times.sunrise === null || times.sunset === null)
    return { noonMs, riseHour: times.alwaysUp ? 0 : 12, setHour: times.alwaysUp ? 24 : 12 };
  const hour = (time: Date): number => 12 + (time.valueOf() - noonMs) / MS_PER_HOUR;
  return { noonMs, riseHour: hour(times.sunrise), setHour: hour(times.sunset) };
};

/** Days between two calls of suncalc: lines between them are right to half a minute at 60 degrees, 2 at 66, 20 at 70. */
const STEP = 7;

/**
 * The sun of a run of civil days in the site's time zone. suncalc is asked once a week, and lines are drawn between; where
 * the sun fails to rise or set at an end of the week, it is asked every day.
 * Source: Meeus ch. 15 as suncalc 2 has it; checked against astronomy-engine in the test.
 */
export const sunDays = (site: Site, firstDay: DayNumber, days: number): Sun[] => {
  // West of the date line with an eastern clock (Samoa, Tonga) the civil day is one ahead of the longitude's.
  const clockAheadH = zoneOffsetH(site.timeZone, instantMs(firstDay, 12)) - site.longitudeDeg / 15;
  const first = firstDay - Math.round(clockAheadH / 24);
  const suns: Sun[] = [];
  let b = sunOn(first, site);
  for (let from = 0; from < days; from += STEP) {
    const a = b;
    b = sunOn(first + from + STEP, site);
    const plain = a.setHour - a.riseHour < 23 && b.setHour - b.riseHour < 23 && a.riseHour < 12 && b.riseHour < 12;
    for (let i = 0; i < STEP && from + i < days; i++)
      suns.push(plain ? between(a, b, i / STEP) : sunOn(first + from + i, site));
  }
  return suns;
};

const between = (a: Sun, b: Sun, part: number): Sun => ({
  noonMs: a.noonMs + (b.noonMs - a.noonMs) * part,
  riseHour: a.riseHour + (b.riseHour - a.riseHour) * part,
  setHour: a.setHour + (b.setHour - a.setHour) * part,
});
