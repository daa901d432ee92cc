/** Developer command, `npm run derive`: emergence constants from target dates, with the soil model as it stands. */
import { readFileSync, writeFileSync } from 'node:fs';
import { Command } from 'commander';
import { isWhitethreadError } from '../core/base/errors.ts';
import { parsed } from '../core/base/schema.ts';
import { soil, type TextureClass } from '../core/soil/schema.ts';
import { soilDays } from '../core/soil/soil.ts';
import { site } from '../core/weather/schema.ts';
import { weatherDays } from '../core/weather/weather.ts';
import { table } from '../report/table.ts';
import { readWeatherFile } from '../sources/weatherFile.ts';
import { listOf, numberBetween, textureArgument, word } from './arguments.ts';
import { type Derivation, derivations, withConstants } from './derivation.ts';

type Options = {
  readonly weather: string;
  readonly lat: number;
  readonly lon: number;
  readonly elevation: number;
  readonly texture: TextureClass;
  readonly species: readonly string[];
  readonly write?: true;
};

const HELP = `
Each component of a species has target dates at a reference place, Ames in Iowa: when 2, 10, 50 and 90 % are up in the
middle year. The command runs the soil model over the weather of that place, bare ground, and finds the lag, scale and
shape that meet the dates. Run it again whenever the soil model or an elongation clock changes, then format the files.

Example:
  $ npm run derive -- --weather ames.csv --species waterhemp
  $ npm run derive -- --weather ames.csv --write && npx biome check --write src/catalogue`;

const fieldSoil = ({ weather, lat, lon, elevation, texture }: Options) => {
  const place = parsed(site, { latitudeDeg: lat, longitudeDeg: lon, elevationM: elevation }, 'site');
  const [file] = readWeatherFile(weather);
  const { series } = weatherDays((file as NonNullable<typeof file>).weather, place);
  return soilDays(series, place, parsed(soil, { texture }, 'soil'), new Float64Array(series.days), []);
};

const shown = (errorDays: readonly (number | null)[]): string =>
  errorDays.map((error) => (error === null ? '-' : error.toFixed(1)).padStart(5)).join(' ');

const rows = (found: readonly Derivation[]): string[][] => [
  ['species', 'season', 'lag', 'scale', 'shape', 'late by d at 2 10 50 90 %', 'as it ships', ''],
  ...found.map(({ speciesId, season, shipped, derived }) => [
    speciesId,
    season,
    `${derived.lagCd}`,
    `${derived.scaleCd}`,
    `${derived.shape}`,
    shown(derived.errorDays),
    `${shipped.lagCd}/${shipped.scaleCd}/${shipped.shape}`,
    shown(shipped.errorDays),
  ]),
];

const write = (found: readonly Derivation[]): void => {
  for (const id of new Set(found.map((one) => one.speciesId))) {
    const path = new URL(`../catalogue/species/${id}.json`, import.meta.url);
    const own = found.filter((one) => one.speciesId === id);
    const file = withConstants(JSON.parse(readFileSync(path, 'utf8')), own);
    writeFileSync(path, `${JSON.stringify(file, null, 2)}\n`);
  }
};

const derive = (options: Options): void => {
  const found = derivations(fieldSoil(options), options.species);
  console.log(table(rows(found), ['left', 'left', 'right', 'right', 'right']));
  if (options.write) write(found);
};

try {
  new Command('derive')
    .description('Derive the emergence constants of the catalogue from its target dates.')
    .requiredOption('--weather <file>', 'daily weather of the reference place, many years')
    .option('--lat <degrees>', 'latitude, north is positive', numberBetween(-90, 90), 42)
    .option('--lon <degrees>', 'longitude, east is positive', numberBetween(-180, 180), -93.8)
    .option('--elevation <m>', 'above the sea, m', numberBetween(-430, 6000), 300)
    .option('--texture <class>', 'texture class of the soil', textureArgument, 'silt-loam' as const)
    .option('--species <list>', 'ids of species, such as waterhemp,kochia (default: all)', listOf(word), [])
    .option('--write', 'put the constants into src/catalogue/species')
    .addHelpText('after', HELP)
    .action(derive)
    .parse();
} catch (error) {
  if (!isWhitethreadError(error)) throw error;
  console.error(error.message);
  process.exitCode = 1;
}
