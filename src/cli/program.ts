import { Command, CommanderError } from 'commander';
import { isWhitethreadError, type Problem } from '../core/base/errors.ts';
import { wrapped } from '../report/table.ts';
import { catalogueCommand } from './catalogueCommand.ts';
import type { Io } from './io.ts';
import { outlookCommand } from './outlookCommand.ts';
import { scoreCommand } from './scoreCommand.ts';
import { tomorrowCommand } from './tomorrowCommand.ts';

const HELP = `
The white thread is a weed that has germinated and is not yet up: the stage at which a shallow pass kills most.
Whitethread tells when that is, and on which days the soil, the crop and the weather let a machine in.

Start with the demo farm (invented fields, invented weather), then with your own weather:
  $ whitethread tomorrow
  $ whitethread tomorrow --weather my.csv --lat 42.0 --lon -93.8 --crop soybean --planted 2026-05-08
  $ whitethread help tomorrow

The service, each command with its own --help:
  serve    the HTTP service, with a demo farm on a fresh machine
  key      makes an API key and shows it once
  backup   copies the embedded database while the service runs

Exit codes: 0 done, 1 something in the input is wrong (each problem on its own lines), 2 wrong use of the command.`;

const program = (io: Io): Command => {
  const root = new Command('whitethread')
    .description('When to hoe: weed flushes, workable soil and pass windows of a field without herbicide.')
    .addHelpText('after', HELP);
  for (const command of [tomorrowCommand(io), outlookCommand(io), scoreCommand(io), catalogueCommand(io)])
    root.addCommand(command);
  for (const command of [root, ...root.commands])
    command
      .exitOverride()
      .showHelpAfterError('Add --help for what is allowed and for examples.')
      .configureOutput({ writeOut: (text) => io.out(text.trimEnd()), writeErr: (text) => io.err(text.trimEnd()) })
      .configureHelp({ helpWidth: 100 });
  return root;
};

const problemText = ({ code, where, given, allowed, advice }: Problem): string =>
  [
    wrapped('', `${where}: ${code}`, 2),
    wrapped('  given    ', given, 11),
    wrapped('  allowed  ', allowed, 11),
    ...(advice === undefined ? [] : [wrapped('  advice   ', advice, 11)]),
  ].join('\n');

/** Problems for people, each on its own lines. */
export const problemsText = (problems: readonly Problem[]): string => problems.map(problemText).join('\n');

/**
 * Runs one command line. Text goes through `io` only.
 * @param args without the program's own name, such as ['tomorrow', '--days', '3']
 * @returns exit code: 0 done, 1 wrong input, 2 wrong use
 */
export const run = (args: readonly string[], io: Io): number => {
  try {
    program(io).parse([...args], { from: 'user' });
    return 0;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    if (!isWhitethreadError(error)) throw error;
    io.err(problemsText(error.problems));
    return 1;
  }
};
