import { randomBytes } from 'node:crypto';

/** Crockford's base 32: no letter that is read as another. */
const DIGITS = '0123456789abcdefghjkmnpqrstvwxyz';
const TIME_DIGITS = 10;
const RANDOM_DIGITS = 16;

/** A new id: ids made later sort later, to the millisecond, and none can be guessed. @example newId(0).slice(0, 10) // '0000000000' */
export const newId = (nowMs: number): string => {
  let time = '';
  for (let left = nowMs, i = 0; i < TIME_DIGITS; i++, left = Math.floor(left / 32)) time = DIGITS[left % 32] + time;
  return time + Array.from(randomBytes(RANDOM_DIGITS), (byte) => DIGITS[byte % 32]).join('');
};
