import { dayNumber, isoDate } from '../../core/base/day.ts';
import type { Client } from './client.ts';
import type { LiveSource } from './contract.ts';
import { civilDay, spanOf } from './days.ts';
import { malformed } from './failure.ts';
import { keeping } from './keeping.ts';
import { OPEN_METEO_DAILY, openMeteoDays, openMeteoPlace } from './openMeteo.ts';
import { query } from './place.ts';

const id = 'global';
/** Its models have cells of 2 to 25 km; a finer question would not be answered better. */
const STEP_DEG = 0.02;
/** Always all that it has: then a place has one address, and fields and days share one answer. */
const PAST_DAYS = 92;
const FORECAST_DAYS = 16;
/** "Today" differs by a day around the world, and an answer may have been kept on the way for a day. */
const MOST_OFF_DAYS = 2;

/** Forecast of Open-Meteo for any place, and the 92 days before it as its models saw them. */
export const globalForecast = (client: Client, nowMs: () => number): LiveSource =>
  keeping(
    {
      id,
      gives: 'both',
      attribution: {
        source: 'Open-Meteo, forecast',
        credit: 'Weather data by Open-Meteo.com',
        licence: 'CC BY 4.0; without a contract for non-commercial use only',
        url: 'https://open-meteo.com/',
      },
      place: (site) => Object.values(openMeteoPlace(site, STEP_DEG)).join(' '),
      ask: (_, site) => {
        const asked = openMeteoPlace(site, STEP_DEG);
        const rest = { daily: OPEN_METEO_DAILY, past_days: PAST_DAYS, forecast_days: FORECAST_DAYS };
        return client.get(`/v1/forecast${query({ ...asked, ...rest })}`, (body) => {
          const weather = openMeteoDays(id, body, asked);
          const forecastFrom = isoDate(dayNumber(weather.startDate) + PAST_DAYS);
          const { from, to } = spanOf(weather);
          const offDays = Math.abs(from + PAST_DAYS - civilDay(nowMs(), site.timeZone));
          if (offDays > MOST_OFF_DAYS || to - from + 1 > PAST_DAYS + FORECAST_DAYS)
            throw malformed(id, 'daily.time', `${isoDate(from)} to ${isoDate(to)}`, 'the days around today');
          return { ...weather, forecastFrom };
        });
      },
    },
    nowMs,
  );
