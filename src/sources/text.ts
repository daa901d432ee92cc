import { type Problem, whitethreadError } from '../core/base/errors.ts';

/** Files of this size and more are refused before they are read, bytes. */
export const MOST_BYTES = 30_000_000;

const SAVE_AS_UTF8 = 'Save the file again as UTF-8';

const encodingProblem = (where: string, given: string): Problem => ({
  code: 'weather-encoding',
  where,
  given,
  allowed: 'text in UTF-8',
  advice: SAVE_AS_UTF8,
});

const isUtf8 = (bytes: Uint8Array): boolean => {
  try {
    // As a stream, so that a letter cut in two at the end does not count.
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
};

/** Offset of the first byte that no UTF-8 text can have, by halving. */
const firstBadByte = (bytes: Uint8Array): number => {
  let good = 0;
  let bad = bytes.length;
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (isUtf8(bytes.subarray(0, middle))) good = middle;
    else bad = middle;
  }
  return good;
};

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
  const [first, second] = bytes;
  if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff))
    throw whitethreadError([encodingProblem('byte 0', 'UTF-16 (its byte order mark)')]);
  const nul = bytes.indexOf(0);
  if (nul >= 0)
    throw whitethreadError([encodingProblem(`byte ${nul}`, 'a NUL byte, as UTF-16 or a binary file has them')]);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    const at = firstBadByte(bytes);
    const value = `0x${(bytes[at] as number).toString(16).padStart(2, '0')}`;
    throw whitethreadError([encodingProblem(`byte ${at}`, `a byte ${value} that is not UTF-8`)]);
  }
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
