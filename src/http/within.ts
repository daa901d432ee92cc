import { refusal } from './errors.ts';

/**
 * The outcome of some work, if it has one in time. The framework's own limit of a handler ends with the body of the
 * request: on a route that takes one it would limit nothing.
 * @throws WhitethreadError 'timed-out'; the work goes on, and its outcome is dropped
 */
export const within = <T>(mostMs: number, work: Promise<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    const timer = setTimeout(() => {
      reject(refusal('timed-out', 'request', `more than ${mostMs / 1000} s`, `an answer within ${mostMs / 1000} s`));
    }, mostMs);
    work.finally(() => clearTimeout(timer)).then(resolve, reject);
  });
