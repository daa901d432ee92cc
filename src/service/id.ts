import { randomBytes } from 'node:crypto';

/** Crockford's base 32: no letter that is read as another. */
const DIGITS = '0123456789abcdefghjkmnpqrstvwxyz';
const TIME_DIGITS = 10;
const RANDOM_DIGITS = 16;

/** The time of the last id: two of one millisecond still sort as they were made. */
let lastMs = 0;

/** A new id: ids that a process makes later sort later, and none can be guessed. */
export const newId = (nowMs: number): string => {
  lastMs = Math.max(nowMs, lastMs + 1);
  let time = '';
  for (let left = lastMs, i = 0; i < TIME_DIGITS; i++, left = Math.floor(left / 32)) time = DIGITS[left % 32] + time;
  return time + Array.from(randomBytes(RANDOM_DIGITS), (byte) => DIGITS[byte % 32]).join('');
};
