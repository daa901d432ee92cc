import { readFileSync } from 'node:fs';
import { type ErrorCode, whitethreadError } from '../core/base/errors.ts';

const refused = (code: ErrorCode, where: string, given: string, allowed: string, advice: string) =>
  whitethreadError([{ code, where, given, allowed, advice }]);

/** Reads a text file. @throws WhitethreadError 'file-unreadable' */
export const readText = (path: string | URL): string => {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (!(error instanceof Error && 'syscall' in error)) throw error;
    throw refused(
      'file-unreadable',
      String(path),
      error.message,
      'a file that can be read',
      'Check the path and the right to read it',
    );
  }
};

/** Reads a JSON file, not yet checked against any schema. @throws WhitethreadError 'file-unreadable', 'invalid-input' */
export const readJson = (path: string | URL): unknown => {
  const text = readText(path);
  try {
    return JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    throw refused('invalid-input', String(path), error.message, 'JSON', 'Look for a missing comma or quote');
  }
};
