/** A question is asked again at most so often. */
export const MOST_RETRIES = 3;
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
