import { type Problem, whitethreadError } from '../core/base/errors.ts';
import { type NeededColumn, neededColumns, type OptionalColumn } from '../core/weather/columns.ts';
import type { ReadOptions } from './contract.ts';
import { flagsPlace } from './flags.ts';
import { NO_UNIT, plain, type Quantity, type Unit, unitOf } from './units.ts';

type WeatherColumn = NeededColumn | OptionalColumn;

/** Names a header may give to a weather column, without its unit and without signs. */
const weatherNames: Readonly<
  Record<WeatherColumn, { readonly quantity: Quantity; readonly names: readonly string[] }>
> = {
  tempMaxC: {
    quantity: 'temp',
    names:
      'tmax tempmax maxtemp tx maxt airtempmax temperaturemax maxtemperature maximumtemperature temperature2mmax high'.split(
        ' ',
      ),
  },
  tempMinC: {
    quantity: 'temp',
    names:
      'tmin tempmin mintemp tn mint airtempmin temperaturemin mintemperature minimumtemperature temperature2mmin low'.split(
        ' ',
      ),
  },
  rainMm: {
    quantity: 'rain',
    names:
      'rain prcp precip precipitation rainfall ppt pcpn prec rr precipitationsum precipitationtotal raintotal'.split(
        ' ',
      ),
  },
  solarMjPerM2: {
    quantity: 'solar',
    names: 'solar srad solarradiation globalradiation radiation shortwaveradiationsum'.split(' '),
  },
  windMPerS: { quantity: 'wind', names: 'wind windspeed meanwind windmean windspeedmean'.split(' ') },
  humidityFrac: { quantity: 'humidity', names: 'humidity rh relativehumidity humiditymean rhmean'.split(' ') },
};

/** Names of the columns that say when and where, in order of preference. */
const placeNames = {
  date: ['date', 'datum', 'datetime', 'time'],
  year: ['year', 'yyyy', 'yr'],
  month: ['month', 'mo', 'mon'],
  day: ['day', 'dd', 'dy'],
  dayOfYear: ['doy', 'dayofyear', 'yday', 'julianday'],
  station: ['station', 'stationid', 'stationname', 'location', 'site'],
  latitude: ['lat', 'latitude', 'latitudedeg'],
  longitude: ['lon', 'long', 'longitude', 'longitudedeg'],
} as const;
type Place = keyof typeof placeNames;

/** A column of numbers: its name in the answer, its place in the row, and its unit. */
export type ValueColumn = {
  readonly name: string;
  readonly header: string;
  readonly cell: number;
  readonly kind: 'weather' | 'observed';
  readonly unit: Unit;
  /** Place of the flags of its values. */
  readonly flags?: number | undefined;
};

export type Header = {
  readonly cells: number;
  readonly places: Readonly<Partial<Record<Place, number>>>;
  readonly values: readonly ValueColumn[];
  /** Columns left out since they name no unit; without them the job can be done. */
  readonly unused: readonly string[];
};

type Match = { readonly column: WeatherColumn; readonly quantity: Quantity; readonly unit: string };

/** Which weather column a header means: one of its names, and after it nothing or a known unit. */
const matchOf = (header: string): Match | null => {
  const text = plain(header);
  for (const [column, { quantity, names }] of Object.entries(weatherNames))
    for (const name of names) {
      const unit = text.slice(name.length);
      if (text.startsWith(name) && (unit === '' || unitOf(quantity, unit)))
        return { column: column as WeatherColumn, quantity, unit };
    }
  return null;
};

const placesOf = (headers: readonly string[]): Partial<Record<Place, number>> => {
  const texts = headers.map(plain);
  const places: Partial<Record<Place, number>> = {};
  for (const [place, names] of Object.entries(placeNames)) {
    const name = (names as readonly string[]).find((candidate) => texts.includes(candidate));
    if (name !== undefined) places[place as Place] = texts.indexOf(name);
  }
  const { date, day, month, ...others } = places;
  // A lone column "day" holds whole dates.
  return date === undefined && day !== undefined && month === undefined ? { ...others, date: day } : places;
};

const unitProblem = (header: string, quantity: Quantity): Problem => ({
  code: 'weather-unit',
  where: `column ${header}`,
  given: 'no unit',
  allowed: quantity === 'temp' ? 'C, F or 0.1C' : 'mm, in, cm or 0.1mm',
  advice: `Name the unit in the header, for example ${quantity === 'temp' ? `${header}_c or ${header}_f` : `${header}_mm or ${header}_in`}`,
});

const columnProblem = (where: string, headers: readonly string[], allowed: string): Problem => ({
  code: 'weather-column',
  where,
  given: `columns ${headers.join(', ')}`,
  allowed,
  advice: 'The first line must name the columns, for example date,tmax_c,tmin_c,rain_mm',
});

const placeProblems = (places: Header['places'], headers: readonly string[]): Problem[] => {
  const { date, year, month, day, dayOfYear } = places;
  const known =
    date !== undefined ||
    (year !== undefined && (dayOfYear !== undefined || (month !== undefined && day !== undefined)));
  return known ? [] : [columnProblem('dates', headers, 'date, or year with month and day, or year with doy')];
};

const neededProblems = (columns: readonly WeatherColumn[], headers: readonly string[]): Problem[] =>
  neededColumns.flatMap((needed) => {
    const count = columns.filter((column) => column === needed).length;
    const names = weatherNames[needed].names.slice(0, 4).join(', ');
    if (count === 1) return [];
    return [columnProblem(needed, headers, count === 0 ? `one of ${names} with its unit` : 'one column only')];
  });

/**
 * What each column of a file is, from its first line.
 * @throws WhitethreadError 'weather-column' listing the columns seen and needed, 'weather-unit'
 */
export const headerOf = (headers: readonly string[], options: ReadOptions): Header => {
  const places = placesOf(headers);
  const flagged = headers.map((header) => (matchOf(header) === null ? undefined : flagsPlace(headers, header)));
  const taken = new Set<number | undefined>([...Object.values(places), ...flagged]);
  const values: ValueColumn[] = [];
  const matched: WeatherColumn[] = [];
  const unused: string[] = [];
  const unitProblems: Problem[] = [];
  headers.forEach((header, cell) => {
    if (taken.has(cell)) return;
    const match = matchOf(header);
    if (match === null) {
      if (header !== '') values.push({ name: header, header, cell, kind: 'observed', unit: NO_UNIT });
      return;
    }
    const { column, quantity } = match;
    const asked = quantity === 'temp' ? options.units?.temp : quantity === 'rain' ? options.units?.rain : undefined;
    const unit = unitOf(quantity, match.unit === '' ? (asked ?? '') : match.unit);
    if (unit) {
      values.push({ name: column, header, cell, kind: 'weather', unit, flags: flagged[cell] });
      matched.push(column);
    } else if (quantity === 'temp' || quantity === 'rain') {
      unitProblems.push(unitProblem(header, quantity));
      matched.push(column);
    } else unused.push(header);
  });
  const problems = [...placeProblems(places, headers), ...neededProblems(matched, headers), ...unitProblems];
  if (problems.length > 0) throw whitethreadError(problems);
  return { cells: headers.length, places, values, unused };
};
