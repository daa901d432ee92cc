import { isWhitethreadError } from '../../core/base/errors.ts';
import { type Breaker, called, closedBreaker, failed, mayCall, succeeded } from './breaker.ts';
import { isFailure, unavailable } from './failure.ts';
import type { SourceWatch } from './watch.ts';

const codeOf = (thrown: unknown) => (isWhitethreadError(thrown) ? thrown.code : 'unexpected');

/** Lets calls through as the breaker of a source allows, and tells the breaker and whoever watches how they ended. */
export const guard = (id: string, nowMs: () => number, watch: SourceWatch) => {
  let breaker: Breaker = closedBreaker;
  const isOpen = (): boolean => breaker.probeAtMs !== null;
  const wentWell = (): void => {
    const wasOpen = isOpen();
    breaker = succeeded(breaker);
    if (wasOpen) watch.isBack(id);
  };
  const wentWrong = (thrown: unknown): void => {
    const wasOpen = isOpen();
    breaker = failed(breaker, nowMs(), (isFailure(thrown) ? thrown.retryAfterMs : null) ?? 0);
    watch.failed(id, codeOf(thrown));
    if (!wasOpen && isOpen()) watch.stopped(id, thrown instanceof Error ? thrown.message : String(thrown));
  };
  const run = async <T>(call: () => Promise<T>): Promise<T> => {
    if (!mayCall(breaker, nowMs())) throw unavailable(id, 'a pause after failures', { blamed: false });
    breaker = called(breaker, nowMs());
    try {
      const answer = await call();
      wentWell();
      return answer;
    } catch (thrown) {
      // "Not this question" is an answer: the source is well.
      if (isFailure(thrown) && !thrown.blamed) wentWell();
      else wentWrong(thrown);
      throw thrown;
    }
  };
  return { run, isOpen };
};
