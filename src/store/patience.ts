import { setTimeout as pause } from 'node:timers/promises';

const MOST_PAUSE_MS = 10;

const isBusy = (thrown: unknown): boolean =>
  thrown instanceof Error && 'code' in thrown && String(thrown.code).startsWith('SQLITE_BUSY');

/**
 * Does what another connection may be in the way of, again and again; between two tries this process works on.
 * SQLite's own way to wait would hold the thread.
 * @param waitMs when to give up and let SQLITE_BUSY through
 */
export const patiently = async <T>(work: () => T | Promise<T>, waitMs: number): Promise<T> => {
  const giveUp = performance.now() + waitMs;
  for (;;) {
    try {
      return await work();
    } catch (thrown) {
      if (!isBusy(thrown) || performance.now() > giveUp) throw thrown;
    }
    // By chance, so that two who wait do not wait in step.
    await pause(1 + Math.random() * MOST_PAUSE_MS);
  }
};
