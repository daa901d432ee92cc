import { whitethreadError } from '../core/base/errors.ts';
import { readBytes } from './file.ts';

/** Reads a text file. @throws WhitethreadError 'file-unreadable' */
export const readText = (path: string | URL): string => new TextDecoder().decode(readBytes(path));

/** Reads a JSON file, not yet checked against any schema. @throws WhitethreadError 'file-unreadable', 'invalid-input' */
export const readJson = (path: string | URL): unknown => {
  const text = readText(path);
  try {
    return JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    throw whitethreadError([
      {
        code: 'invalid-input',
        where: String(path),
        given: error.message,
        allowed: 'JSON',
        advice: 'Look for a missing comma or quote',
      },
    ]);
  }
};
