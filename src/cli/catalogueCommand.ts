import { Argument, Command } from 'commander';
import { type Catalogue, loadCatalogue } from '../catalogue/load.ts';
import { type ErrorCode, whitethreadError } from '../core/base/errors.ts';
import { csvText } from '../report/csv.ts';
import { type FormatOptions, formatOf, formatOptions, jsonText } from './arguments.ts';
import { entryCells, entryRows, entryText, type Kind, kinds, listRows, listText } from './format/catalogueText.ts';
import type { Io } from './io.ts';

const HELP = `
Every value says where it comes from: published (with the source), derived (with the working) or default (our
choice, with the reason: put your own in its place).

Examples:
  $ whitethread catalogue
  $ whitethread catalogue species
  $ whitethread catalogue species waterhemp --sources
  $ whitethread catalogue implements rotary-hoe --json`;

const unknownCode: Readonly<Record<Kind, ErrorCode>> = {
  species: 'unknown-species',
  crops: 'unknown-crop',
  implements: 'unknown-implement',
};

const assertKnown = (catalogue: Catalogue, kind: Kind, id: string): void => {
  const ids = catalogue[kind].map((entry) => entry.id);
  if (ids.includes(id)) return;
  throw whitethreadError([{ code: unknownCode[kind], where: `catalogue ${kind}`, given: id, allowed: ids.join(', ') }]);
};

type Options = FormatOptions & { readonly sources?: true };

const answer = (catalogue: Catalogue, kind: Kind | undefined, id: string | undefined, options: Options): string => {
  const format = formatOf(options);
  if (kind !== undefined && id !== undefined) {
    assertKnown(catalogue, kind, id);
    const rows = entryRows(catalogue, kind, id);
    if (format === 'table') return entryText(catalogue, kind, id, options.sources === true);
    return format === 'json' ? jsonText(rows) : csvText(entryCells(rows));
  }
  const rows = kinds.filter((name) => kind === undefined || name === kind).flatMap((name) => listRows(catalogue, name));
  if (format === 'table') return listText(rows);
  return format === 'json' ? jsonText(rows) : csvText(rows);
};

/** `whitethread catalogue` */
export const catalogueCommand = (io: Io): Command => {
  const command = new Command('catalogue')
    .summary('weeds, crops and implements, each value with its source')
    .description('List the weeds, crops and implements that come with the program, or show one with its values.')
    .addArgument(new Argument('[kind]', 'what to list').choices(kinds))
    .argument('[id]', 'one entry, such as waterhemp')
    .option('--sources', 'write out the sources below the values')
    .addHelpText('after', HELP);
  for (const option of formatOptions()) command.addOption(option);
  return command.action((kind: Kind | undefined, id: string | undefined, options: Options) =>
    io.out(answer(loadCatalogue(), kind, id, options)),
  );
};
