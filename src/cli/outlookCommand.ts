import { Command } from 'commander';
import { loadCatalogue } from '../catalogue/load.ts';
import { whitethreadError } from '../core/base/errors.ts';
import { outlook } from '../core/outlook/outlook.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import { csvText } from '../report/csv.ts';
import { outlookRows, outlookText } from '../report/outlookText.ts';
import { inUsUnits } from '../report/units.ts';
import { shownOutlook } from '../service/answer.ts';
import type { Farm } from '../service/farm.ts';
import { formatOf, jsonText } from './arguments.ts';
import { chosenFarm } from './chosenFarm.ts';
import { addFieldOptions, type FieldOptions } from './fieldOptions.ts';
import type { Io } from './io.ts';

const HELP = `
Everything known about one field: soil temperature and water, emergence of each weed with the days between
which it may fall, flushes and when they are at white thread, crop stages, pass windows, the last day to kill
each weed before it sets seed, and cautions. --format csv writes the daily columns.

Examples:
  $ whitethread outlook
  $ whitethread outlook --weather my.csv --lat 42.0 --lon -93.8 --crop soybean --planted 2026-05-08
  $ whitethread outlook --farm farm.json --field "Long Strip" --json
  $ whitethread outlook --weather my.csv --lat 42.0 --lon -93.8 --format csv > days.csv`;

type Options = FieldOptions & { readonly field?: string };

const fieldOf = (farm: Farm, name: string | undefined): FieldInput => {
  const found = name === undefined ? farm.fields[0] : farm.fields.find((field) => field.name === name);
  if (found !== undefined) return found;
  throw whitethreadError([
    {
      code: 'invalid-input',
      where: '--field',
      given: name ?? 'nothing',
      allowed: farm.fields.map((field) => field.name).join(', '),
    },
  ]);
};

/** `whitethread outlook` */
export const outlookCommand = (io: Io): Command => {
  const command = new Command('outlook')
    .summary('the whole outlook of one field')
    .description('The whole outlook of one field: soil, weeds, crop, windows.')
    .option('--field <name>', 'field of the farm file (default: the first)')
    .addHelpText('after', HELP);
  return addFieldOptions(command).action((options: Options) => {
    const farm = chosenFarm(options, io, command);
    const field = fieldOf(farm, options.field);
    const answer = shownOutlook(outlook({ ...field, horizonDays: options.days }, loadCatalogue()), farm.timeZone);
    const { units } = options;
    const written = (data: unknown) => (units === 'us' ? inUsUnits(data) : data);
    const format = formatOf(options);
    if (format === 'json') io.out(jsonText(written(answer)));
    else if (format === 'csv') io.out(csvText(written(outlookRows(answer)) as ReturnType<typeof outlookRows>));
    else io.out(outlookText(answer, farm, units));
  });
};
