import { dayNumber } from '../../core/base/day.ts';
import type { Column } from '../../core/weather/columns.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';
import { inOurUnit, sound } from './days.ts';
import { malformed } from './failure.ts';
import { isNear, onGrid } from './place.ts';
import { openMeteoDaily, replyAs } from './schema.ts';

/** The daily variables that we ask Open-Meteo for, in its own names. */
export const OPEN_METEO_DAILY = 'temperature_2m_max,temperature_2m_min,precipitation_sum,shortwave_radiation_sum';

/** A site on the grid in which Open-Meteo is asked. */
export const openMeteoPlace = (site: Site, stepDeg: number) => ({
  latitude: onGrid(site.latitudeDeg, stepDeg),
  longitude: onGrid(site.longitudeDeg, stepDeg),
  timezone: site.timeZone,
});

export type OpenMeteoPlace = ReturnType<typeof openMeteoPlace>;

/**
 * A daily reply of Open-Meteo, forecast or archive; they have one shape.
 * @throws Failure 'source-malformed'
 */
export const openMeteoDays = (
  id: string,
  body: unknown,
  asked: { readonly latitude: number; readonly longitude: number },
): DailyWeather => {
  const { daily, daily_units: units, latitude, longitude } = replyAs(openMeteoDaily, body, id);
  if (!isNear(asked.latitude, latitude) || !isNear(asked.longitude, longitude))
    throw malformed(id, 'place', `${latitude}, ${longitude}`, `${asked.latitude}, ${asked.longitude}`);
  const [startDate = ''] = daily.time;
  const start = dayNumber(startDate);
  const odd = daily.time.find((date, i) => dayNumber(date) !== start + i);
  if (odd !== undefined) throw malformed(id, 'daily.time', odd, 'day after day');
  const column = (name: string, values: Column): Column => {
    if (values.length !== daily.time.length)
      throw malformed(id, `daily.${name}`, `${values.length} values`, `${daily.time.length}, one a day`);
    return values;
  };
  const solar = daily.shortwave_radiation_sum;
  return sound(id, {
    startDate,
    tempMaxC: inOurUnit(id, 'temp', units.temperature_2m_max, column('temperature_2m_max', daily.temperature_2m_max)),
    tempMinC: inOurUnit(id, 'temp', units.temperature_2m_min, column('temperature_2m_min', daily.temperature_2m_min)),
    rainMm: inOurUnit(id, 'rain', units.precipitation_sum, column('precipitation_sum', daily.precipitation_sum)),
    ...(solar === undefined
      ? {}
      : {
          solarMjPerM2: inOurUnit(
            id,
            'solar',
            units.shortwave_radiation_sum ?? '',
            column('shortwave_radiation_sum', solar),
          ),
        }),
  });
};
