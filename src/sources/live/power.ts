import { isoDate } from '../../core/base/day.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';
import type { Quantity } from '../units.ts';
import type { Client } from './client.ts';
import type { LiveSource, Span } from './contract.ts';
import { inOurUnit, sound } from './days.ts';
import { malformed } from './failure.ts';
import { keeping, type Means } from './keeping.ts';
import { columnOf, datesOf, pastPart } from './pastDays.ts';
import { isNear, onGrid, query } from './place.ts';
import { powerDaily, replyAs } from './schema.ts';

const id = 'power';
const FIRST_DATE = '1981-01-01';
const PARAMETERS = 'T2M_MAX,T2M_MIN,PRECTOTCORR,ALLSKY_SFC_SW_DWN';

/** Its cells are half a degree by five eighths; all fields of a cell ask for the middle of it. */
const cell = (site: Site) => ({ latitude: onGrid(site.latitudeDeg, 0.5), longitude: onGrid(site.longitudeDeg, 0.625) });

const compact = (date: string): string => date.replaceAll('-', '');

export type PowerWanted = { readonly source: typeof id; readonly asked: ReturnType<typeof cell>; readonly days: Span };

/** Days of an answer of POWER, which has to be of the cell and the days asked for. @throws Failure 'source-malformed' */
export const powerDays = (body: unknown, { asked, days }: PowerWanted): DailyWeather => {
  const { geometry, header, parameters, properties } = replyAs(powerDaily, body, id);
  const [longitude = Number.NaN, latitude = Number.NaN] = geometry.coordinates;
  if (!isNear(asked.latitude, latitude) || !isNear(asked.longitude, longitude))
    throw malformed(id, 'place', `${latitude}, ${longitude}`, `${asked.latitude}, ${asked.longitude}`);
  const dates = datesOf(days).map(compact);
  const column = (name: keyof typeof parameters, quantity: Quantity) => {
    const byDate = new Map(Object.entries(properties.parameter[name] ?? {}));
    const values = columnOf(id, byDate, dates).map((value) => (value === header.fill_value ? null : value));
    return inOurUnit(id, quantity, parameters[name]?.units ?? '', values);
  };
  return sound(id, {
    startDate: isoDate(days.from),
    tempMaxC: column('T2M_MAX', 'temp'),
    tempMinC: column('T2M_MIN', 'temp'),
    rainMm: column('PRECTOTCORR', 'rain'),
    ...(properties.parameter.ALLSKY_SFC_SW_DWN === undefined
      ? {}
      : { solarMjPerM2: column('ALLSKY_SFC_SW_DWN', 'solar') }),
  });
};

/** Past weather of NASA POWER: a reanalysis of coarse cells with solar radiation, for any place since 1981. */
export const power = (client: Client, means: Means): LiveSource =>
  keeping(
    {
      id,
      gives: 'observed',
      attribution: {
        source: 'NASA POWER, daily',
        credit:
          'These data were obtained from the NASA Langley Research Center POWER Project funded through the NASA Earth Science Directorate Applied Science Program.',
        licence: 'Free and open (NASA Earth science data)',
        url: 'https://power.larc.nasa.gov/',
      },
      place: (site) => Object.values(cell(site)).join(' '),
      ask: async (_, site, span) => {
        const days = pastPart(id, FIRST_DATE, site, span, means.nowMs());
        const asked = cell(site);
        const path = `/api/temporal/daily/point${query({
          parameters: PARAMETERS,
          community: 'ag',
          start: compact(isoDate(days.from)),
          end: compact(isoDate(days.to)),
          ...asked,
          format: 'json',
          'time-standard': 'LST',
        })}`;
        return client.get(path, (bytes) => means.days({ source: id, asked, days }, bytes));
      },
    },
    means,
  );
