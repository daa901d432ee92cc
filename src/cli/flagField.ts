import type { Command } from 'commander';
import type { FieldInput } from '../core/outlook/schema.ts';
import { findingSentence } from '../core/weather/finding.ts';
import { type Farm, stationOf, type Today } from '../service/farm.ts';
import { asForecastFrom } from '../service/joined.ts';
import type { WeatherFile } from '../sources/contract.ts';
import { readWeatherFile } from '../sources/weatherFile.ts';
import type { FieldOptions } from './fieldOptions.ts';
import { withOptionAdvice } from './optionAdvice.ts';

/** What stands in for flags that were not given. Common practice, no source; the answer names each one used. */
const usual = {
  texture: 'silt-loam',
  weeds: ['common-lambsquarters', 'waterhemp', 'giant-foxtail', 'velvetleaf', 'common-ragweed'],
  implements: ['rotary-hoe', 'tine-weeder', 'row-cultivator-early'],
} as const;

/** The object without its undefined members, as strict optional members want it. */
type Given<T> = { [K in keyof T]?: Exclude<T[K], undefined> };
const given = <T extends object>(members: T): Given<T> =>
  Object.fromEntries(Object.entries(members).filter(([, value]) => value !== undefined)) as Given<T>;

const assumptions = (options: FieldOptions, timeZone: string): string[] => [
  ...(options.texture === undefined ? [`No --texture given: taken as ${usual.texture}.`] : []),
  ...(options.weeds === undefined ? [`No --weeds given: taken as ${usual.weeds.join(', ')}, alike in number.`] : []),
  ...(options.implements === undefined ? [`No --implements given: taken as ${usual.implements.join(', ')}.`] : []),
  ...(options.zone === undefined ? [`No --zone given: hours are those of ${timeZone}.`] : []),
  ...(options.crop === undefined ? ['No --crop given: windows are for bare ground before planting.'] : []),
];

const plantingOf = (options: FieldOptions, command: Command): FieldInput['planting'] => {
  const { crop, planted, depth, row } = options;
  if (crop === undefined && (planted !== undefined || depth !== undefined || row !== undefined))
    command.error("error: '--planted', '--depth' and '--row' need '--crop <id>'");
  if (crop === undefined) return undefined;
  if (planted === undefined) return command.error("error: '--crop' needs '--planted <date>'");
  return { crop, date: planted, ...given({ depthCm: depth, rowCm: row }) };
};

const siteOf = (options: FieldOptions, file: WeatherFile, timeZone: string, command: Command): FieldInput['site'] => {
  const latitudeDeg = options.lat ?? file.latitudeDeg;
  const longitudeDeg = options.lon ?? file.longitudeDeg;
  if (latitudeDeg === null || longitudeDeg === null)
    return command.error("error: the weather file names no place: give '--lat <degrees>' and '--lon <degrees>'");
  return { latitudeDeg, longitudeDeg, timeZone, ...given({ elevationM: options.elevation }) };
};

/** The weather file and the flags around it, as a farm of one field. @throws WhitethreadError; usage errors by commander */
export const flagFarm = (
  options: FieldOptions,
  path: string,
  machineZone: string,
  today: Today,
  command: Command,
): Farm => {
  const { tempUnit, rainUnit, dateOrder, drainage, residue } = options;
  const planting = plantingOf(options, command);
  const units = given({ temp: tempUnit, rain: rainUnit });
  const file = withOptionAdvice(() =>
    stationOf(readWeatherFile(path, { units, ...given({ dateOrder }) }), options.station, path),
  );
  const timeZone = options.zone ?? machineZone;
  const date = today(timeZone);
  const field: FieldInput = {
    name: file.station ?? path,
    site: siteOf(options, file, timeZone, command),
    soil: { texture: options.texture ?? usual.texture, ...given({ drainage, residueCoverFrac: residue }) },
    weather: asForecastFrom(file.weather, date),
    today: date,
    ...given({ planting }),
    seedbedDates: [...(options.seedbed ?? [])],
    weeds: [...(options.weeds ?? usual.weeds.map((species) => ({ species })))],
    passes: [...(options.passes ?? [])],
    implements: (options.implements ?? usual.implements).map((id) => ({ id })),
  };
  const remarks = [...assumptions(options, timeZone), ...file.findings.map(findingSentence)];
  return { name: path, invented: false, timeZone, today: date, remarks, fields: [field] };
};
