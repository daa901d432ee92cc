import { type DayNumber, instantMs } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import { zoneOffsetH } from '../base/zone.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import { BEYOND_DAYS, beyondEvidence, KNOWN_FROM_DEG, KNOWN_TO_DEG } from '../weeds/bands.ts';
import type { Outlook } from './schema.ts';
import { isMildWinter } from './winter.ts';

/** No clock that people live by is further from the sun, hours: at the west end of Alaska, in summer, it is 3.3. */
const MOST_FROM_SUN_H = 3.5;

/** How far a clock is ahead of the sun, -12 to 12 h: beyond the date line a zone may be a day ahead of it. */
const aheadOfSunH = ({ timeZone, longitudeDeg }: Site, today: DayNumber): number => {
  const ahead = zoneOffsetH(timeZone, instantMs(today, 12)) - longitudeDeg / 15;
  return ahead - 24 * Math.round(ahead / 24);
};

/** That hours are told by a clock which nobody goes by at the field, so that some of them fall on another date. */
export const clockFarFromSun = (site: Site, today: DayNumber): Outlook['notes'] => {
  const ahead = aheadOfSunH(site, today);
  if (Math.abs(ahead) <= MOST_FROM_SUN_H) return [];
  const where = `${rounded(Math.abs(ahead), 1)} h ${ahead > 0 ? 'ahead of' : 'behind'} the sun`;
  return [
    {
      code: 'clock-far-from-sun',
      text: `Hours are told by the clock of ${site.timeZone}, which is ${where} at longitude ${site.longitudeDeg}: those of a day may fall on the date before or after it. Give the time zone of the field.`,
    },
  ];
};

/** That the calendar of weeds may not hold for the winter of the field. */
export const mildWinter = (weather: WeatherDays, latitudeDeg: number): Outlook['notes'] =>
  isMildWinter(weather, latitudeDeg)
    ? [
        {
          code: 'mild-winter',
          text: 'The calendar of weeds rests on climates with cold winters: where winters are mild, as here, weeds counted from spring on may come with the rain of autumn and winter, which is not forecast. Scout, and do not take 0 % up as knowledge.',
        },
      ]
    : [];

/** A latitude outside the evidence in tenths of a degree, away from it: 38.96 is not told as 39, where the evidence begins. */
const outsideDeg = (deg: number): number => (deg < KNOWN_FROM_DEG ? Math.floor(10 * deg) : Math.ceil(10 * deg)) / 10;

/** That the dates of weeds rest on evidence from elsewhere. */
export const outsideEvidence = (latitudeDeg: number): Outlook['notes'] => {
  if (!beyondEvidence(latitudeDeg)) return [];
  return [
    {
      code: 'latitude-outside-evidence',
      text: `At ${outsideDeg(Math.abs(latitudeDeg))} degrees the emergence dates rest on evidence from ${KNOWN_FROM_DEG} to ${KNOWN_TO_DEG} degrees; bands are wider by ${BEYOND_DAYS} days.`,
    },
  ];
};
