import type { WhitethreadError } from '../core/base/errors.ts';
import { refusal } from './errors.ts';

/** An answer may take so long: a first one may have to wait for a weather service. */
export const MOST_MS = 60_000;

const tooLong = (mostMs: number): WhitethreadError =>
  refusal('timed-out', 'request', `more than ${mostMs / 1000} s`, `an answer within ${mostMs / 1000} s`);

/**
 * The outcome of some work, if it has one in time. The framework's own limit of a handler ends with the body of the
 * request: on a route that takes one it would limit nothing.
 * @param late what is thrown where it has none
 * @throws WhitethreadError 'timed-out', or `late`; the work goes on, and its outcome is dropped
 */
export const inTime = <T>(work: Promise<T>, mostMs = MOST_MS, late = tooLong): Promise<T> =>
  new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(late(mostMs)), mostMs);
    work.finally(() => clearTimeout(timer)).then(resolve, reject);
  });
