#!/usr/bin/env node
import { run } from './program.ts';

const line = (stream: NodeJS.WriteStream) => (text: string) => {
  stream.write(`${text}\n`);
};

// A reader that closes early (head, less) is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

process.exitCode = run(process.argv.slice(2), {
  out: line(process.stdout),
  err: line(process.stderr),
  nowMs: Date.now,
  timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
});
