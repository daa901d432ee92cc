import { run } from '../../src/cli/program.ts';

/** 15 May 2026, 12:00 UTC: a fixed clock for every command line under test. */
const NOW_MS = Date.UTC(2026, 4, 15, 12);

/** Runs a command line in process: exit code and both outputs. */
export const captured = (...args: string[]): { code: number; out: string; err: string } => {
  const out: string[] = [];
  const err: string[] = [];
  const code = run(args, {
    out: (text) => out.push(text),
    err: (text) => err.push(text),
    nowMs: () => NOW_MS,
    timeZone: 'America/Chicago',
  });
  return { code, out: out.join('\n'), err: err.join('\n') };
};
