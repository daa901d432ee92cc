import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** An empty folder that goes when the process does. */
export const scratchFolder = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'whitethread-'));
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }));
  return folder;
};

/** An empty folder that goes when the test does. */
export const testFolder = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'whitethread-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
};
