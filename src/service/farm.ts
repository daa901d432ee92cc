import { dirname, resolve } from 'node:path';
import { whitethreadError } from '../core/base/errors.ts';
import { parsed } from '../core/base/schema.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import { findingSentence } from '../core/weather/finding.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { WeatherFile } from '../sources/contract.ts';
import { readJson } from '../sources/textFile.ts';
import { readWeatherFile } from '../sources/weatherFile.ts';
import { asForecastFrom } from './joined.ts';
import { type FarmFile, farmFile } from './schema.ts';

/** Fields ready to be computed, wherever they come from. */
export type Farm = {
  readonly name: string;
  readonly invented: boolean;
  readonly timeZone: string;
  readonly today: string;
  /** What was assumed where nothing was given, and what was odd in the weather file. */
  readonly remarks: readonly string[];
  readonly fields: readonly FieldInput[];
};

/** Today's civil date in a zone, or the date that the caller asked for. */
export type Today = (timeZone: string) => string;

/** The one station that is meant. @throws WhitethreadError naming the stations when several could be */
export const stationOf = <T extends WeatherFile>(files: readonly T[], station: string | undefined, path: string): T => {
  const found = station === undefined ? files : files.filter((file) => file.station === station);
  const [only] = found;
  if (only !== undefined && found.length === 1) return only;
  const names = files.flatMap((file) => file.station ?? []);
  const isNamed = names.length > 0;
  throw whitethreadError([
    {
      code: 'invalid-input',
      where: isNamed ? `station of ${path}` : path,
      given: station ?? 'none named',
      allowed: isNamed ? names.join(', ') : 'none: the rows name no station',
      advice: isNamed ? 'Keep the rows of one station' : 'Leave the station out, or add a column station',
    },
  ]);
};

/** The fields of a farm file that was read, on its weather. */
export const farmOn = (
  file: FarmFile,
  weather: DailyWeather,
  today: string,
): Pick<Farm, 'timeZone' | 'today' | 'fields'> => {
  const { name: _, weather: __, implements: owned, fields, ...site } = file;
  return {
    timeZone: site.timeZone,
    today,
    fields: fields.map((field) => ({
      ...field,
      site,
      weather: asForecastFrom(weather, today),
      today,
      implements: field.implements ?? owned,
    })),
  };
};

/**
 * Reads a farm file and the weather it names; a relative path starts at the farm file's folder.
 * @throws WhitethreadError
 */
export const farmFromFile = (path: string, today: Today): Farm => {
  const file = parsed(farmFile, readJson(path), path);
  const { name, weather } = file;
  const read =
    typeof weather === 'string'
      ? stationOf(readWeatherFile(resolve(dirname(path), weather)), undefined, weather)
      : { weather, findings: [] };
  const remarks = read.findings.map(findingSentence);
  return { name, invented: false, remarks, ...farmOn(file, read.weather, today(file.timeZone)) };
};
