import { performance } from 'node:perf_hooks';
import { setTimeout as wait } from 'node:timers/promises';
import { isFailure } from './failure.ts';

/** A question is asked again at most so often. */
const MOST_RETRIES = 3;
const LONGEST_WAIT_MS = 4_000;

/**
 * How long to wait before asking again: anything up to a bound that doubles (full jitter), so that many who failed
 * together do not come back together.
 * @param tries how often it was asked so far, from 1
 * @param random a number from 0 to 1
 * @example jitterMs(3, 500, 0.5) // 1000
 */
export const jitterMs = (tries: number, firstMs: number, random: number): number =>
  random * Math.min(LONGEST_WAIT_MS, firstMs * 2 ** (tries - 1));

/**
 * Retry-After in milliseconds from now: seconds or a date. Null where it says nothing that can be read.
 * @example retryAfterMs('2', 0) // 2000
 */
export const retryAfterMs = (header: string | string[] | undefined, nowMs: number): number | null => {
  if (typeof header !== 'string') return null;
  if (/^\d+$/.test(header)) return 1000 * Number(header);
  const at = Date.parse(header);
  return Number.isNaN(at) ? null : Math.max(0, at - nowMs);
};

/**
 * The answer of an attempt, or of one of 3 more where asking again may help and there is time left. A source that named
 * a time is waited for so long.
 * @param attempt gets a signal that ends all of it
 * @throws what the last attempt threw
 */
export const retried = async <T>(
  attempt: (signal: AbortSignal) => Promise<T>,
  given: { totalMs: number; firstWaitMs: number; random: () => number; mayRetry: () => boolean },
): Promise<T> => {
  const endsAt = performance.now() + given.totalMs;
  const signal = AbortSignal.timeout(given.totalMs);
  for (let tries = 1; ; tries++) {
    try {
      return await attempt(signal);
    } catch (thrown) {
      if (!isFailure(thrown) || !thrown.retryable || tries > MOST_RETRIES || !given.mayRetry()) throw thrown;
      const waitMs = thrown.retryAfterMs ?? jitterMs(tries, given.firstWaitMs, given.random());
      if (performance.now() + waitMs >= endsAt) throw thrown;
      // A timer may be a moment early, and the hold of a breaker is strict.
      await wait(Math.ceil(waitMs) + 2);
    }
  }
};
