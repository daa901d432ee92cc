/** So many failures within the window open the breaker. */
const MOST_FAILURES = 5;
const WINDOW_MS = 60_000;
/** While it is open, one probe in this time. */
const PROBE_EVERY_MS = 60_000;
/** A source may ask for more patience than this; nobody's field waits longer. */
const MOST_HOLD_MS = 3_600_000;

/**
 * The state of a circuit breaker: a value, and functions from one to the next. Closed while `probeAtMs` is null; open
 * otherwise, and the next probe may go at that instant. The way back is one probe that succeeds.
 */
export type Breaker = {
  /** Failures that may still count, oldest first. */
  readonly failuresMs: readonly number[];
  readonly probeAtMs: number | null;
  /** The source itself asked not to be called before. */
  readonly heldUntilMs: number;
};

export const closedBreaker: Breaker = { failuresMs: [], probeAtMs: null, heldUntilMs: 0 };

/** Whether an instant has come. One farther ahead than it was ever set is of before the clock was put back. */
const isReached = (atMs: number, nowMs: number, mostAheadMs: number): boolean =>
  nowMs >= atMs || atMs - nowMs > mostAheadMs;

/** Whether a call may go now. @example mayCall({ failuresMs: [], probeAtMs: 60000, heldUntilMs: 0 }, 59999) // false */
export const mayCall = ({ heldUntilMs, probeAtMs }: Breaker, nowMs: number): boolean =>
  isReached(heldUntilMs, nowMs, MOST_HOLD_MS) && (probeAtMs === null || isReached(probeAtMs, nowMs, PROBE_EVERY_MS));

/** After a call has gone: of an open breaker it was the probe, and the next one waits its time. */
export const called = (breaker: Breaker, nowMs: number): Breaker =>
  breaker.probeAtMs === null ? breaker : { ...breaker, probeAtMs: nowMs + PROBE_EVERY_MS };

/**
 * After a call that failed.
 * @param holdMs how long the source asked to be left alone (Retry-After); 0 where it said nothing
 */
export const failed = (breaker: Breaker, nowMs: number, holdMs: number): Breaker => {
  const failuresMs = [...breaker.failuresMs.filter((at) => Math.abs(nowMs - at) < WINDOW_MS), nowMs].slice(
    -MOST_FAILURES,
  );
  const opens = breaker.probeAtMs === null && failuresMs.length >= MOST_FAILURES;
  return {
    failuresMs,
    probeAtMs: opens ? nowMs + PROBE_EVERY_MS : breaker.probeAtMs,
    heldUntilMs: holdMs > 0 ? nowMs + Math.min(holdMs, MOST_HOLD_MS) : breaker.heldUntilMs,
  };
};

/** After a call that was answered well. Failures of the last minute still count, so that flapping opens it too. */
export const succeeded = (breaker: Breaker): Breaker =>
  breaker.probeAtMs === null ? breaker : { ...breaker, failuresMs: [], probeAtMs: null };
