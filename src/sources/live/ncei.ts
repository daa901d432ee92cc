import { isoDate } from '../../core/base/day.ts';
import type { DailyWeather } from '../../core/weather/schema.ts';
import { TRACE_MM } from '../cells.ts';
import { flagsOf } from '../flags.ts';
import type { Client } from './client.ts';
import type { LiveSource, Span } from './contract.ts';
import { sound } from './days.ts';
import { malformed, outside } from './failure.ts';
import { keeping, type Means } from './keeping.ts';
import { nceiStation } from './nceiStation.ts';
import { columnOf, datesOf, pastPart } from './pastDays.ts';
import { query } from './place.ts';
import { nceiDaily, replyAs } from './schema.ts';

const id = 'ncei';
const FIRST_DATE = '1900-01-01';
type Element = 'TMAX' | 'TMIN' | 'PRCP';

/** A value with its flags; null where it is missing or failed the archive's own checks. */
const measured = (text = '', flags = ''): number | null => {
  const { isTrace, hasFailed } = flagsOf(flags);
  if (text.trim() === '' || hasFailed) return null;
  return isTrace ? TRACE_MM : Number(text);
};

export type NceiWanted = { readonly source: typeof id; readonly station: string; readonly days: Span };

/** Days of an answer of NCEI, which has to be of the station and the days asked for. @throws Failure 'source-malformed' */
export const nceiDays = (body: unknown, { station, days }: NceiWanted): DailyWeather => {
  const rows = replyAs(nceiDaily, body, id);
  const other = rows.find(({ STATION: name }) => name !== station);
  if (other !== undefined) throw malformed(id, 'STATION', other.STATION, station);
  if (new Set(rows.map(({ DATE }) => DATE)).size < rows.length) throw malformed(id, 'DATE', 'a day twice', 'once');
  const dates = datesOf(days);
  const column = (element: Element) =>
    columnOf(id, new Map(rows.map((row) => [row.DATE, measured(row[element], row[`${element}_ATTRIBUTES`])])), dates);
  return sound(id, {
    startDate: isoDate(days.from),
    tempMaxC: column('TMAX'),
    tempMinC: column('TMIN'),
    rainMm: column('PRCP'),
  });
};

const checkedStation = (station: string | undefined): string => {
  if (station !== undefined && nceiStation.form.test(station)) return station;
  throw outside(id, `station ${station ?? 'not named'}`, nceiStation.allowed);
};

/** Daily summaries of NOAA's weather stations: what was measured there, with gaps as they are. */
export const ncei = (client: Client, means: Means): LiveSource =>
  keeping(
    {
      id,
      gives: 'observed',
      attribution: {
        source: 'NOAA NCEI, daily summaries (GHCN-Daily)',
        credit: 'Daily summaries by NOAA National Centers for Environmental Information',
        licence: 'Public domain (work of the US government); stations elsewhere by the rules of their country',
        url: 'https://www.ncei.noaa.gov/access/services/data/v1',
      },
      place: (_, station) => checkedStation(station),
      ask: async (station, site, span) => {
        const days = pastPart(id, FIRST_DATE, site, span, means.nowMs());
        const path = `/access/services/data/v1${query({
          dataset: 'daily-summaries',
          stations: station,
          startDate: isoDate(days.from),
          endDate: isoDate(days.to),
          dataTypes: 'TMAX,TMIN,PRCP',
          units: 'metric',
          includeAttributes: 'true',
          format: 'json',
        })}`;
        return client.get(path, (bytes) => means.days({ source: id, station, days }, bytes));
      },
    },
    means,
  );
