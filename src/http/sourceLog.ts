import type { Logger } from 'pino';
import { Counter } from 'prom-client';
import type { SourceWatch } from '../sources/live/watch.ts';

/**
 * Weather services that fail, as lines and a figure.
 * @param log has the lines
 */
export const sourceLog = (log: Pick<Logger, 'info' | 'warn'>) => {
  const failures = new Counter({
    name: 'whitethread_source_failures_total',
    help: 'Calls of a weather service that failed, retries too',
    labelNames: ['source', 'code'],
    // The server's own registry takes it.
    registers: [],
  });
  /** @param asksFor whose weather it is: farms and fields that are sent ask the same services each by itself */
  const watch = (asksFor: 'farms' | 'sent fields'): SourceWatch => ({
    failed: (source, code) => failures.inc({ source, code }),
    stopped: (source, problem) => log.warn({ source, asksFor, problem }, 'a weather service fails'),
    isBack: (source) => log.info({ source, asksFor }, 'a weather service is back'),
  });
  return { failures, watch };
};
