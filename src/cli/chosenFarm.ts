import type { Command } from 'commander';
import { demoFarm } from '../service/demo.ts';
import { type Farm, farmFromFile, type Today } from '../service/farm.ts';
import { dateAt } from '../service/zone.ts';
import { type FieldOptions, strayFlag } from './fieldOptions.ts';
import { flagFarm } from './flagField.ts';
import type { Io } from './io.ts';

/** The farm that the options mean: a farm file, a weather file with flags, or without either the demo farm. */
export const chosenFarm = (options: FieldOptions, io: Io, command: Command): Farm => {
  const today: Today = (timeZone) => options.today ?? dateAt(io.nowMs(), timeZone);
  if (options.farm !== undefined) return farmFromFile(options.farm, today);
  if (options.weather !== undefined) return flagFarm(options, options.weather, io.timeZone, today, command);
  const stray = strayFlag(command);
  if (stray !== undefined) return command.error(`error: option '${stray}' needs '--weather <file>'`);
  return demoFarm(today(io.timeZone));
};
