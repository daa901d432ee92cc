import { type DayNumber, instantMs } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import { zoneOffsetH } from '../base/zone.ts';
import type { Site } from '../weather/schema.ts';

import type { Outlook } from './schema.ts';

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
