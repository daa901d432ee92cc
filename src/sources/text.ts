import { isUtf8 } from 'node:buffer';
import { whitethreadError } from '../core/base/errors.ts';

/** Files of this size and more are refused before they are read, bytes. */
export const MOST_BYTES = 30_000_000;

/** Whether bytes are the beginning of a text in UTF-8. */
const begins = (bytes: Uint8Array): boolean => {
  try {
    // As a stream, so that a letter cut in two at the end does not count.
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
};

/** Where the letter before a place begins: bytes of the form 10xxxxxx go on with one. */
const letterBefore = (bytes: Uint8Array, place: number): number => {
  let at = Math.max(0, place - 1);
  while (at > 0 && ((bytes[at] as number) & 0xc0) === 0x80) at--;
  return at;
};

/** Offset of the first byte that no UTF-8 text can have, by halving what is not known to be good. */
const firstBadByte = (bytes: Uint8Array): number => {
  let good = 0;
  let bad = bytes.length;
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (begins(bytes.subarray(letterBefore(bytes, good), middle))) good = middle;
    else bad = middle;
  }
  return good;
};

/** Which byte keeps bytes from being text in UTF-8, and what it is; null where none does. */
export const encodingFault = (bytes: Uint8Array): { readonly where: string; readonly given: string } | null => {
  const [first, second] = bytes;
  if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff))
    return { where: 'byte 0', given: 'UTF-16 (its byte order mark)' };
  const nul = bytes.indexOf(0);
  if (nul >= 0) return { where: `byte ${nul}`, given: 'a NUL byte, as UTF-16 or a binary file has them' };
  if (isUtf8(bytes)) return null;
  const at = firstBadByte(bytes);
  const value = `0x${(bytes[at] as number).toString(16).padStart(2, '0')}`;
  return { where: `byte ${at}`, given: `a byte ${value} that is not UTF-8` };
};

/** What is allowed where there is such a byte. */
export const UTF8 = 'text in UTF-8';

/** Refuses a file by its size alone, so that it need not be read. @throws WhitethreadError 'weather-too-large' */
export const assertSize = (bytes: number): void => {
  if (bytes < MOST_BYTES) return;
  throw whitethreadError([
    {
      code: 'weather-too-large',
      where: 'weather file',
      given: `${(bytes / 1e6).toFixed(1)} MB`,
      allowed: `less than ${MOST_BYTES / 1e6} MB`,
      advice: 'Leave out stations, years or columns that are not needed',
    },
  ]);
};

/**
 * The text of a file. Never guesses an encoding: a wrong one would change names and signs in silence.
 * @throws WhitethreadError 'weather-too-large', 'weather-empty', 'weather-encoding'
 */
export const textOf = (bytes: Uint8Array): string => {
  assertSize(bytes.length);
  const fault = encodingFault(bytes);
  if (fault !== null)
    throw whitethreadError([
      { code: 'weather-encoding', ...fault, allowed: UTF8, advice: 'Save the file again as UTF-8' },
    ]);
  const text = new TextDecoder().decode(bytes);
  if (text.trim() === '')
    throw whitethreadError([
      {
        code: 'weather-empty',
        where: 'weather file',
        given: `${bytes.length} bytes without a word`,
        allowed: 'a header and at least one day',
      },
    ]);
  return text;
};
