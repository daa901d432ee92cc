import { isoDate } from '../../core/base/day.ts';
import type { DailyWeather } from '../../core/weather/schema.ts';
import type { Client } from './client.ts';
import type { LiveSource, Span } from './contract.ts';
import { keeping, type Means } from './keeping.ts';
import { OPEN_METEO_DAILY, type OpenMeteoPlace, openMeteoDays, openMeteoPlace } from './openMeteo.ts';
import { asAsked, pastPart } from './pastDays.ts';
import { query } from './place.ts';

const id = 'archive';
const FIRST_DATE = '1940-01-01';
/** The reanalysis has cells of 0.1 to 0.25 degrees. */
const STEP_DEG = 0.1;

export type ArchiveWanted = { readonly source: typeof id; readonly asked: OpenMeteoPlace; readonly days: Span };

/** Days of an answer of the archive, all of which were asked for. @throws Failure 'source-malformed' */
export const archiveDays = (body: unknown, { asked, days }: ArchiveWanted): DailyWeather =>
  asAsked(id, openMeteoDays(id, body, asked), days);

/** Past weather of Open-Meteo's archive: a reanalysis, some days behind, for any place since 1940. */
export const archive = (client: Client, means: Means): LiveSource =>
  keeping(
    {
      id,
      gives: 'observed',
      attribution: {
        source: 'Open-Meteo, archive (ERA5 reanalysis)',
        credit: 'Weather data by Open-Meteo.com; contains modified Copernicus Climate Change Service information',
        licence: 'CC BY 4.0; without a contract for non-commercial use only',
        url: 'https://open-meteo.com/en/docs/historical-weather-api',
      },
      place: (site) => Object.values(openMeteoPlace(site, STEP_DEG)).join(' '),
      ask: async (_, site, span) => {
        const days = pastPart(id, FIRST_DATE, site, span, means.nowMs());
        const asked = openMeteoPlace(site, STEP_DEG);
        const rest = { daily: OPEN_METEO_DAILY, start_date: isoDate(days.from), end_date: isoDate(days.to) };
        return client.get(`/v1/archive${query({ ...asked, ...rest })}`, (bytes) =>
          means.days({ source: id, asked, days }, bytes),
        );
      },
    },
    means,
  );
