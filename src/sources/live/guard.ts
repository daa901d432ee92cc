import { type Breaker, called, closedBreaker, failed, mayCall, succeeded } from './breaker.ts';
import { isFailure, unavailable } from './failure.ts';

/** Lets calls through as the breaker of a source allows, and tells the breaker how they ended. */
export const guard = (id: string, nowMs: () => number) => {
  let breaker: Breaker = closedBreaker;
  const run = async <T>(call: () => Promise<T>): Promise<T> => {
    if (!mayCall(breaker, nowMs())) throw unavailable(id, 'a pause after failures', { blamed: false });
    breaker = called(breaker, nowMs());
    try {
      const answer = await call();
      breaker = succeeded(breaker);
      return answer;
    } catch (thrown) {
      // "Not this question" is an answer: the source is well.
      const isWell = isFailure(thrown) && !thrown.blamed;
      const holdMs = (isFailure(thrown) ? thrown.retryAfterMs : null) ?? 0;
      breaker = isWell ? succeeded(breaker) : failed(breaker, nowMs(), holdMs);
      throw thrown;
    }
  };
  return { run, isOpen: () => breaker.probeAtMs !== null };
};
