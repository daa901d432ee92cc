import { dayNumber, isoDate } from '../core/base/day.ts';
import { parsed } from '../core/base/schema.ts';
import type { Site } from '../core/weather/schema.ts';
import { csvWeather } from '../sources/csv.ts';
import { readJson, readText } from '../sources/textFile.ts';
import { type Farm, farmOn, stationOf } from './farm.ts';
import { farmFile } from './schema.ts';

const folder = new URL('../../fixtures/demo/', import.meta.url);

/** Where the demo farm lies while it is spring to autumn in the south. */
const south: Site = {
  latitudeDeg: -39.2,
  longitudeDeg: -60,
  elevationM: 180,
  timeZone: 'America/Argentina/Buenos_Aires',
};

/** The farm file has its site in the north; from October to April the farm moves to where the weeds grow. */
const isNorthernSeason = (today: string): boolean => today.slice(5) >= '04-10' && today.slice(5) < '10-10';

/** Every text such as today-6 as a date. @example dated(['today-1'], 1) // ['1970-01-01'] */
export const dated = (node: unknown, today: number): unknown => {
  if (Array.isArray(node)) return node.map((item) => dated(item, today));
  if (typeof node === 'object' && node !== null)
    return Object.fromEntries(Object.entries(node).map(([key, value]) => [key, dated(value, today)]));
  const match = typeof node === 'string' ? /^today([+-]\d+)?$/.exec(node) : null;
  return match === null ? node : isoDate(today + Number(match[1] ?? 0));
};

/** The weather file with dates in place of days before and after today. */
const datedCsv = (csv: string, today: number): string =>
  csv.replace(/^day_offset/, 'date').replace(/^-?\d+/gm, (offset) => isoDate(today + Number(offset)));

/** Reads the demo farm, laid around a day. Its fields and its weather are invented. */
export const demoFarm = (today: string): Farm => {
  const day = dayNumber(today);
  const file = parsed(farmFile, dated(readJson(new URL('farm.json', folder)), day), 'demo farm');
  const placed = isNorthernSeason(today) ? file : { ...file, ...south };
  const { weather } = stationOf(csvWeather(datedCsv(readText(new URL('weather.csv', folder)), day)), undefined, 'demo');
  return { name: file.name, invented: true, remarks: [], ...farmOn(placed, weather, today) };
};
