import { type DayNumber, isoDate } from '../../core/base/day.ts';
import { windAt2M } from '../../core/weather/evaporation.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';
import type { Quantity } from '../units.ts';
import { putBounded } from './bounded.ts';
import type { Client, Given } from './client.ts';
import type { LiveSource } from './contract.ts';
import { civilDay, inOurUnit, sound } from './days.ts';
import { malformed } from './failure.ts';
import { dailyValues, dayMean, daySum, type Interval, intervals, leastSum } from './intervals.ts';
import { bodyJson } from './json.ts';
import { type Adapter, keeping, type Means } from './keeping.ts';
import { onGrid } from './place.ts';
import { type GridLayer, gridCell, gridForecast, replyAs } from './schema.ts';

const id = 'us-grid';
/** Cells are 2.5 km wide; neighbours within about a kilometre share the look-up of their cell. */
const STEP_DEG = 0.01;
const ASK_CELL_AGAIN_MS = 86_400_000;
const MOST_CELLS = 5_000;
const MOST_AGE_MS = 3 * 86_400_000;
/** It tells of 8 days; a date of years ahead must not become years of days. */
const MOST_DAYS_AHEAD = 20;
const WIND_HEIGHT_M = 10;
/** From so much rain on a day is a wet one. Default of judgement. */
const WET_DAY_MM = 1;

/** The layer's values in our own unit. `wmoUnit:km_h-1` is km/h with the power written out. */
const layerOf = (name: string, quantity: Quantity, layer: GridLayer | undefined): Interval[] => {
  const list = intervals(id, name, layer);
  const unit = (layer?.uom ?? '').replace(/^.*:/, '').replace('km_h-1', 'km/h');
  const values =
    list.length === 0
      ? []
      : inOurUnit(
          id,
          quantity,
          unit,
          list.map(({ value }) => value),
        );
  return list.map((interval, i) => ({ ...interval, value: values[i] ?? null }));
};

/**
 * Rain of today. Its first hours leave the layer some six hours after they began, by the middle of the morning: a rest that makes
 * it a wet day is what is told then, at least; a rest that does not says nothing of the day.
 */
const rainToday = (rain: readonly Interval[], today: DayNumber, timeZone: string, nowMs: number): number | null => {
  const leastMm = leastSum(rain, today, timeZone, nowMs);
  return leastMm !== null && leastMm >= WET_DAY_MM ? leastMm : null;
};

export type GridWanted = { readonly source: typeof id; readonly timeZone: string; readonly nowMs: number };

/**
 * Days of a gridpoint forecast in a zone, from today on. What its layers do not cover whole is null.
 * @throws Failure 'source-malformed'
 */
export const gridDays = (body: unknown, { timeZone, nowMs }: GridWanted): DailyWeather => {
  const { properties } = replyAs(gridForecast, body, id);
  const ageMs = nowMs - Date.parse(properties.updateTime);
  if (Math.abs(ageMs) > MOST_AGE_MS)
    throw malformed(id, 'updateTime', properties.updateTime, 'at most 3 days from now');
  const max = dailyValues(layerOf('maxTemperature', 'temp', properties.maxTemperature), timeZone, Math.max);
  const min = dailyValues(layerOf('minTemperature', 'temp', properties.minTemperature), timeZone, Math.min);
  const rain = layerOf('quantitativePrecipitation', 'rain', properties.quantitativePrecipitation);
  const humidity = layerOf('relativeHumidity', 'humidity', properties.relativeHumidity);
  const wind = layerOf('windSpeed', 'wind', properties.windSpeed);
  const today = civilDay(nowMs, timeZone);
  const last = Math.max(today, ...max.keys(), ...min.keys());
  if (last - today > MOST_DAYS_AHEAD)
    throw malformed(id, 'validTime', isoDate(last), `at most ${MOST_DAYS_AHEAD} days on`);
  const days = Array.from({ length: last - today + 1 }, (_, i) => today + i);
  return sound(id, {
    startDate: isoDate(today),
    forecastFrom: isoDate(today),
    tempMaxC: days.map((day) => max.get(day) ?? null),
    tempMinC: days.map((day) => min.get(day) ?? null),
    rainMm: days.map(
      (day) => daySum(rain, day, timeZone) ?? (day === today ? rainToday(rain, today, timeZone, nowMs) : null),
    ),
    humidityFrac: days.map((day) => dayMean(humidity, day, timeZone)),
    windMPerS: days.map((day) => {
      const mean = dayMean(wind, day, timeZone);
      return mean === null ? null : windAt2M(mean, WIND_HEIGHT_M);
    }),
  });
};

/** The path of the cell that a place lies in, asked for once a day; an old one serves where the look-up fails. */
const cellPaths = (points: Client, nowMs: () => number) => {
  const known = new Map<string, Given<string>>();
  return async (place: string): Promise<string> => {
    const before = known.get(place);
    if (before !== undefined && Math.abs(nowMs() - before.fetchedAtMs) < ASK_CELL_AGAIN_MS) return before.value;
    try {
      const found = await points.get(`/points/${place}`, (bytes) => {
        const { gridId, gridX, gridY } = replyAs(gridCell, bodyJson(id, bytes), id).properties;
        return `/gridpoints/${gridId}/${gridX},${gridY}`;
      });
      putBounded(known, place, found, MOST_CELLS);
      return found.value;
    } catch (thrown) {
      if (before === undefined) throw thrown;
      return before.value;
    }
  };
};

const place = ({ latitudeDeg, longitudeDeg }: Site): string =>
  `${onGrid(latitudeDeg, STEP_DEG)},${onGrid(longitudeDeg, STEP_DEG)}`;

/**
 * Forecast of the US National Weather Service for a cell of 2.5 km. It looks the cell up first; the two have a client
 * each, so that a look-up that works does not close the breaker of a forecast that does not.
 */
export const usGrid = (points: Client, grid: Client, means: Means): LiveSource => {
  const { nowMs, days } = means;
  const cellPath = cellPaths(points, nowMs);
  const adapter: Adapter = {
    id,
    gives: 'forecast',
    attribution: {
      source: 'US National Weather Service, gridpoint forecast',
      credit: 'Forecast by the National Weather Service, NOAA',
      licence: 'Public domain (work of the US government)',
      url: 'https://www.weather.gov/documentation/services-web-api',
    },
    place: (site) => `${place(site)} ${site.timeZone}`,
    ask: async (_, site) => {
      const path = await cellPath(place(site));
      const { timeZone } = site;
      const read = (bytes: Uint8Array) => days({ source: id, timeZone, nowMs: nowMs() }, bytes);
      return grid.get(path, read, `${path} ${timeZone}`);
    },
  };
  return keeping(adapter, means);
};
