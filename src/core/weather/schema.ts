import { z } from 'zod';
import {
  civilDate,
  columnOf,
  elevationM,
  frac,
  latitudeDeg,
  longitudeDeg,
  rainMm,
  solarMjPerM2,
  tempC,
  windMPerS,
} from '../base/quantity.ts';
import { isTimeZone } from '../base/zone.ts';

const A_ZONE = 'an IANA time zone such as America/Chicago';

/** Where the field lies. The time zone only decides how hours are shown. */
export const site = z.strictObject({
  latitudeDeg: latitudeDeg(),
  longitudeDeg: longitudeDeg(),
  elevationM: elevationM().default(200),
  /** IANA name such as America/Chicago. */
  timeZone: z.string({ error: A_ZONE }).refine(isTimeZone, { error: A_ZONE }).default('UTC'),
});
export type Site = Readonly<z.infer<typeof site>>;

/** Where a day's values come from. Days that no one measured stay told apart from those that were. */
export const dayOrigins = ['observed', 'forecast', 'interpolated', 'climatology'] as const;
export type DayOrigin = (typeof dayOrigins)[number];

const MOST_DAYS = 60 * 366;
const column = (quantity: z.ZodNumber) => columnOf(quantity, MOST_DAYS);

/** Daily weather as columns of equal length from `startDate` on; null where a value is missing. */
export const dailyWeather = z
  .strictObject({
    startDate: civilDate(),
    tempMaxC: column(tempC()),
    tempMinC: column(tempC()),
    rainMm: column(rainMm()),
    /** Measured global radiation; without it, from the day's temperature range. */
    solarMjPerM2: column(solarMjPerM2()).optional(),
    /** Mean wind at 2 m; without it, a usual wind. */
    windMPerS: column(windMPerS()).optional(),
    /** Mean relative humidity; without it, the dew point follows from the lowest temperature. */
    humidityFrac: column(frac()).optional(),
    /** First day of the forecast part; without it every day counts as observed. */
    forecastFrom: civilDate().optional(),
  })
  .superRefine(
    (weather, context) => {
      const { tempMaxC } = weather;
      if (!Array.isArray(tempMaxC)) return;
      for (const name of ['tempMinC', 'rainMm', 'solarMjPerM2', 'windMPerS', 'humidityFrac'] as const) {
        const given = weather[name];
        if (Array.isArray(given) && given.length !== tempMaxC.length)
          context.addIssue({ code: 'custom', path: [name], message: `${tempMaxC.length} values, as many as tempMaxC` });
      }
    },
    // Also where a value is wrong, so that everything is told at once; only no object at all has no columns.
    { when: ({ value }) => typeof value === 'object' && value !== null },
  );
export type DailyWeather = Readonly<z.infer<typeof dailyWeather>>;
