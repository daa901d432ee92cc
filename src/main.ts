#!/usr/bin/env node
import { problemsText, run } from './cli/program.ts';
import { isWhitethreadError } from './core/base/errors.ts';

/** Commands of the service; the others start without loading it. */
const serverCommands = ['serve', 'key', 'backup'];

const line = (stream: NodeJS.WriteStream) => (text: string) => {
  stream.write(`${text}\n`);
};
const out = line(process.stdout);
const err = line(process.stderr);

// A reader that closes early (head, less) is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

/** The first signal lets requests under way finish; the second ends at once, as if there were no listener. */
const stopped = (): Promise<void> =>
  new Promise((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => resolve());
  });

const served = async (args: readonly string[]): Promise<number> => {
  const { runServerCommand } = await import('./http/command.ts');
  try {
    return await runServerCommand(args, { out, err, env: process.env, stopped });
  } catch (error) {
    if (!isWhitethreadError(error)) throw error;
    err(problemsText(error.problems));
    return 1;
  }
};

const args = process.argv.slice(2);
const timeZone = Intl.DateTimeFormat().resolvedOptions().timeZone;
const [name = '', helped = ''] = args;
if (serverCommands.includes(name)) process.exitCode = await served(args);
else if (name === 'help' && serverCommands.includes(helped)) process.exitCode = await served([helped, '--help']);
else process.exitCode = run(args, { out, err, nowMs: Date.now, timeZone });
