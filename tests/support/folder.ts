import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, onTestFinished } from 'vitest';

const newFolder = (): string => mkdtempSync(join(tmpdir(), 'whitethread-'));
const remove = (folder: string): void => rmSync(folder, { recursive: true, force: true });

const scratch: string[] = [];
// One hook for all of them, and one that the runner keeps: it ends its workers without the process's own `exit`.
afterAll(() => scratch.splice(0).forEach(remove));

/** An empty folder that goes when the tests of the file end. */
export const scratchFolder = (): string => {
  const folder = newFolder();
  scratch.push(folder);
  return folder;
};

/** An empty folder that goes when the test does. */
export const testFolder = (): string => {
  const folder = newFolder();
  onTestFinished(() => remove(folder));
  return folder;
};
