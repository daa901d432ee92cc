import { type DayNumber, isoDate } from '../../core/base/day.ts';
import type { DailyWeather } from '../../core/weather/schema.ts';
import type { Client } from './client.ts';
import type { LiveSource } from './contract.ts';
import { civilDay, spanOf } from './days.ts';
import { malformed } from './failure.ts';
import { keeping, type Means } from './keeping.ts';
import { OPEN_METEO_DAILY, type OpenMeteoPlace, openMeteoDays, openMeteoPlace } from './openMeteo.ts';
import { query } from './place.ts';

const id = 'global';
/** Its models have cells of 2 to 25 km; a finer question would not be answered better. */
const STEP_DEG = 0.02;
/** Always all that it has: then a place has one address, and fields and days share one answer. */
const PAST_DAYS = 92;
const FORECAST_DAYS = 16;
/** "Today" differs by a day around the world, and an answer may have been kept on the way for a day. */
const MOST_OFF_DAYS = 2;

export type GlobalWanted = { readonly source: typeof id; readonly asked: OpenMeteoPlace; readonly today: DayNumber };

/** Days of a forecast of Open-Meteo, which have to lie around today. @throws Failure 'source-malformed' */
export const globalDays = (body: unknown, { asked, today }: GlobalWanted): DailyWeather => {
  const weather = openMeteoDays(id, body, asked);
  const { from, to } = spanOf(weather);
  const forecastFrom = from + PAST_DAYS;
  if (Math.abs(forecastFrom - today) > MOST_OFF_DAYS || to - from + 1 > PAST_DAYS + FORECAST_DAYS)
    throw malformed(id, 'daily.time', `${isoDate(from)} to ${isoDate(to)}`, 'the days around today');
  return { ...weather, forecastFrom: isoDate(forecastFrom) };
};

/** Forecast of Open-Meteo for any place, and the 92 days before it as its models saw them. */
export const globalForecast = (client: Client, means: Means): LiveSource =>
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
        return client.get(`/v1/forecast${query({ ...asked, ...rest })}`, (bytes) => {
          const today = civilDay(means.nowMs(), site.timeZone);
          return means.days({ source: id, asked, today }, bytes);
        });
      },
    },
    means,
  );
