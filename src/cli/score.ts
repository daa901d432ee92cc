import { basename } from 'node:path';
import { parse } from 'csv-parse/sync';
import { whitethreadError } from '../core/base/errors.ts';
import { parsed } from '../core/base/schema.ts';
import type { TextureClass } from '../core/soil/schema.ts';
import { soil } from '../core/soil/schema.ts';
import {
  type Observed,
  observedColumns,
  type ScoredSeason,
  type StationScore,
  stationScore,
} from '../core/soil/score.ts';
import { sodCoverFrac } from '../core/soil/sod.ts';
import { soilDays } from '../core/soil/soil.ts';
import { findingSentence } from '../core/weather/finding.ts';
import { type DailyWeather, dayOrigins, type Site, site } from '../core/weather/schema.ts';
import { weatherDays } from '../core/weather/weather.ts';
import type { WeatherFile } from '../sources/contract.ts';
import { readText } from '../sources/textFile.ts';
import { readWeatherFile } from '../sources/weatherFile.ts';
import { type StationSite, stationSite } from './schema.ts';

export type ScoreRequest = {
  readonly observed: string;
  readonly sites: string | undefined;
  readonly lat: number | undefined;
  readonly lon: number | undefined;
  readonly elevation: number | undefined;
  readonly texture: TextureClass;
  readonly cover: number;
  /** Drive the soil by the file's radiation column too, not by temperature and rain alone. */
  readonly measuredSun: boolean;
  readonly season: ScoredSeason;
};

export type NamedScore = StationScore & {
  readonly station: string;
  readonly site: Site;
  readonly remarks: readonly string[];
};

const readSites = (path: string): ReadonlyMap<string, StationSite> => {
  const rows: Record<string, string>[] = parse(readText(path), {
    columns: true,
    bom: true,
    trim: true,
    skip_empty_lines: true,
  });
  return new Map(
    rows.map((row, i) => {
      const { elev_m, ...rest } = row;
      const place = parsed(stationSite, elev_m ? { ...rest, elev_m } : rest, `${path}, row ${i + 2}`);
      return [place.station, place];
    }),
  );
};

/** The file of places goes first, then the observed file's own columns, then the flags. */
const siteOf = (file: WeatherFile, place: StationSite | undefined, request: ScoreRequest): Site => {
  const latitudeDeg = place?.lat ?? file.latitudeDeg ?? request.lat;
  const longitudeDeg = place?.lon ?? file.longitudeDeg ?? request.lon;
  if (latitudeDeg === undefined || longitudeDeg === undefined)
    throw whitethreadError([
      {
        code: 'invalid-input',
        where: `place of ${file.station ?? request.observed}`,
        given: 'no latitude and longitude',
        allowed: 'both, in degrees north and east',
        advice:
          'Give --lat and --lon, columns lat and lon in the observed file, or --sites with station,lat,lon,elev_m',
      },
    ]);
  const elevationM = place?.elev_m ?? request.elevation;
  return parsed(site, { latitudeDeg, longitudeDeg, ...(elevationM === undefined ? {} : { elevationM }) }, 'site');
};

const observedOf = (file: WeatherFile, path: string): Observed => {
  const found = Object.fromEntries(
    observedColumns.flatMap((name) => (file.observed[name] === undefined ? [] : [[name, file.observed[name]]])),
  ) as Observed;
  if (Object.keys(found).length > 0) return found;
  throw whitethreadError([
    {
      code: 'weather-column',
      where: `${path}${file.station === null ? '' : `, station ${file.station}`}`,
      given: `besides the weather ${Object.keys(file.observed).join(', ') || 'no column'}`,
      allowed: `one or more of ${observedColumns.join(', ')} with values`,
      advice: 'Name the columns of soil temperature and moisture exactly so',
    },
  ]);
};

/** Days whose weather no one measured, over more than a short gap: the model cannot be judged by them. */
const CLIMATOLOGY = dayOrigins.indexOf('climatology');

const onKnownWeather = (observed: Observed, origin: Uint8Array): Observed =>
  Object.fromEntries(
    Object.entries(observed).map(([name, values]) => [
      name,
      values.map((value, i) => (origin[i] === CLIMATOLOGY ? null : value)),
    ]),
  );

/**
 * Temperature and rain, which every user has; the sun only where it is asked for. A record of many years has long holes:
 * in a forecast they are filled, so it is read as one, and those days do not count.
 */
const scoredWeather = (weather: DailyWeather, { measuredSun }: ScoreRequest): DailyWeather => {
  const { startDate, tempMaxC, tempMinC, rainMm, solarMjPerM2 } = weather;
  const sun = measuredSun && solarMjPerM2 !== undefined ? { solarMjPerM2 } : {};
  return { startDate, tempMaxC, tempMinC, rainMm, ...sun, forecastFrom: startDate };
};

const scoreOf = (file: WeatherFile, place: StationSite | undefined, request: ScoreRequest): NamedScore => {
  const where = siteOf(file, place, request);
  const observed = observedOf(file, request.observed);
  const { series, findings } = weatherDays(scoredWeather(file.weather, request), where);
  const cover = sodCoverFrac(request.cover, series);
  const simulated = soilDays(series, where, parsed(soil, { texture: request.texture }, 'soil'), cover, []);
  const left = series.origin.reduce((count, origin) => count + (origin === CLIMATOLOGY ? 1 : 0), 0);
  const holes =
    left === 0 ? [] : [`${left} days without weather were simulated with what is usual then and are not scored.`];
  return {
    station: file.station ?? basename(request.observed),
    site: where,
    ...stationScore(simulated, onKnownWeather(observed, series.origin), request.season),
    remarks: [...file.findings, ...findings.filter(({ code }) => code !== 'degraded')]
      .map(findingSentence)
      .concat(holes),
  };
};

/**
 * Reads a thermometer's record and scores the simulated soil against it, station by station.
 * @throws WhitethreadError when the file, a place or a column does not do
 */
export const scores = (request: ScoreRequest): NamedScore[] => {
  const places = request.sites === undefined ? new Map<string, StationSite>() : readSites(request.sites);
  const files = readWeatherFile(request.observed);
  const found = files.map((file) => scoreOf(file, places.get(file.station ?? ''), request));
  if (found.some(({ fits }) => Object.keys(fits).length > 0)) return found;
  const { from, to, years } = request.season;
  const days = files.map(({ weather }) => `${weather.startDate}, ${weather.tempMaxC.length} days`);
  throw whitethreadError([
    {
      code: 'invalid-input',
      where: request.observed,
      given: `no measured day from ${from} to ${to}${years === undefined ? '' : ` of ${years.join(', ')}`}`,
      allowed: `days that were measured, within the file: from ${days.join('; from ')}`,
      advice: 'Choose --from, --to and --years within it',
    },
  ]);
};
