import { type Command, InvalidArgumentError, Option } from 'commander';
import { type TextureClass, textureClasses } from '../core/soil/schema.ts';
import type { Units } from '../report/units.ts';
import type { RainUnit, TempUnit } from '../sources/units.ts';
import {
  dateArgument,
  type FormatOptions,
  formatOptions,
  lengthCm,
  lengthM,
  listOf,
  numberBetween,
  textureArgument,
  wholeBetween,
  word,
} from './arguments.ts';

/** What `tomorrow` and `outlook` are given on the command line. */
export type FieldOptions = FormatOptions & {
  readonly farm?: string;
  readonly weather?: string;
  readonly station?: string;
  readonly tempUnit?: TempUnit;
  readonly rainUnit?: RainUnit;
  readonly dateOrder?: 'mdy' | 'dmy';
  readonly lat?: number;
  readonly lon?: number;
  readonly elevation?: number;
  readonly zone?: string;
  readonly texture?: TextureClass;
  readonly drainage?: 'poor' | 'moderate' | 'good';
  readonly residue?: number;
  readonly crop?: string;
  readonly planted?: string;
  readonly depth?: number;
  readonly row?: number;
  readonly seedbed?: readonly string[];
  readonly weeds?: readonly { readonly species: string; readonly relativeDensity?: number }[];
  readonly passes?: readonly { readonly date: string; readonly implement: string; readonly depthCm?: number }[];
  readonly implements?: readonly string[];
  readonly today?: string;
  readonly days: number;
  readonly units: Units;
};

/** `waterhemp` or `waterhemp:2` */
const weedArgument = (text: string) => {
  const [species = '', density] = text.split(':');
  const id = word(species);
  return density === undefined
    ? { species: id }
    : { species: id, relativeDensity: numberBetween(0.001, 1000)(density) };
};

/** `2026-05-08:rotary-hoe` or `2026-05-08:rotary-hoe:3cm` */
const passArgument = (text: string) => {
  const [date = '', implement, depth] = text.split(':');
  if (implement === undefined) throw new InvalidArgumentError('Allowed: DATE:IMPLEMENT or DATE:IMPLEMENT:DEPTH.');
  const made = { date: dateArgument(date), implement: word(implement) };
  return depth === undefined ? made : { ...made, depthCm: lengthCm(depth) };
};

/** Flags that describe a field; none of them goes with a farm file, which says it all. */
const fieldFlags = (): Option[] => [
  new Option('--weather <file>', 'daily weather: CSV, GHCN-Daily .dly, or the library’s JSON'),
  new Option('--station <name>', 'which station, when the file holds several'),
  new Option('--temp-unit <unit>', 'when the header names none').choices(['C', 'F', '0.1C']),
  new Option('--rain-unit <unit>', 'when the header names none').choices(['mm', 'in', 'cm', '0.1mm']),
  new Option('--date-order <order>', 'how 03/04/2026 is meant').choices(['mdy', 'dmy']),
  new Option('--lat <degrees>', 'latitude, north is positive').argParser(numberBetween(-90, 90)),
  new Option('--lon <degrees>', 'longitude, east is positive').argParser(numberBetween(-180, 180)),
  new Option('--elevation <length>', 'above the sea, m unless you write ft').argParser(lengthM),
  new Option('--zone <name>', 'time zone such as America/Chicago (default: this machine’s)'),
  new Option('--texture <class>', `soil: ${textureClasses.join(', ')}`).argParser(textureArgument),
  new Option('--drainage <how>', 'how fast spare water leaves').choices(['poor', 'moderate', 'good']),
  new Option('--residue <share>', 'share of the ground under dead residue, 0 to 1').argParser(numberBetween(0, 1)),
  new Option('--crop <id>', 'crop in the ground; see: whitethread catalogue crops').argParser(word),
  new Option('--planted <date>', 'day it was planted').argParser(dateArgument),
  new Option('--depth <length>', 'planting depth, cm unless you write in').argParser(lengthCm),
  new Option('--row <length>', 'row spacing, cm unless you write in').argParser(lengthCm),
  new Option('--seedbed <dates>', 'full-width cultivations before planting').argParser(listOf(dateArgument)),
  new Option('--weeds <list>', 'expected, such as waterhemp:2,giant-foxtail').argParser(listOf(weedArgument)),
  new Option('--passes <list>', 'made, such as 2026-05-08:rotary-hoe').argParser(listOf(passArgument)),
  new Option('--implements <list>', 'owned; see: whitethread catalogue implements').argParser(listOf(word)),
];

/** A flag that describes a field and was given. */
export const strayFlag = (command: Command): string | undefined =>
  fieldFlags().find((flag) => command.getOptionValueSource(flag.attributeName()) === 'cli')?.flags;

/** Adds the options of a command that works on fields. */
export const addFieldOptions = (command: Command): Command => {
  const flags = fieldFlags();
  command.addOption(
    new Option('--farm <file>', 'farm file (JSON): place, weather, machines, fields').conflicts(
      flags.map((flag) => flag.attributeName()),
    ),
  );
  for (const option of [...flags, ...formatOptions()]) command.addOption(option);
  return command
    .option('--today <date>', 'work as if it were this day', dateArgument)
    .option('--days <number>', 'days ahead', wholeBetween(0, 366), 5)
    .addOption(new Option('--units <system>', 'units of the answer').choices(['metric', 'us']).default('metric'));
};
