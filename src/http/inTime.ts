import { refusal } from './errors.ts';

/** An answer may take so long: a first one may have to wait for a weather service. */
export const MOST_MS = 60_000;

/**
 * The outcome of some work, if it has one in time. The framework's own limit of a handler ends with the body of the
 * request: on a route that takes one it would limit nothing.
 * @throws WhitethreadError 'timed-out'; the work goes on, and its outcome is dropped
 */
export const inTime = <T>(work: Promise<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    const seconds = MOST_MS / 1000;
    const timer = setTimeout(() => {
      reject(refusal('timed-out', 'request', `more than ${seconds} s`, `an answer within ${seconds} s`));
    }, MOST_MS);
    work.finally(() => clearTimeout(timer)).then(resolve, reject);
  });
