import { setImmediate as nextTurn } from 'node:timers/promises';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Shelf } from '../sources/live/keeping.ts';
import type { DaysOf } from '../sources/live/reading.ts';
import type { Store } from '../store/contract.ts';

/** Older weather is not taken down: no forecast reaches so far, and the past is to be had again. */
const MOST_AGE_MS = 30 * 86_400_000;

export type ShelfDeps = {
  readonly store: Pick<Store, 'sourceAnswer' | 'keepSourceAnswer'>;
  readonly days: DaysOf;
  readonly nowMs: () => number;
  /** Told of what could not be read or kept; nobody else is. */
  readonly warn: (about: { readonly source: string; readonly problem: string }, text: string) => void;
};

const messageOf = (thrown: unknown): string => (thrown instanceof Error ? thrown.message : String(thrown));
const encoder = new TextEncoder();

/**
 * The last answers of weather sources in the store, so that one that is down after a restart is stood in for, also by what
 * another replica was told. One answer is written at a time, after the request that brought it has its own.
 */
export const sourceShelf = ({
  store,
  days,
  nowMs,
  warn,
}: ShelfDeps): Shelf & { readonly close: () => Promise<void> } => {
  /** The newest of each place that waits to be written. */
  const waiting = new Map<string, () => Promise<void>>();
  let last: Promise<void> = Promise.resolve();

  const taken: Shelf['taken'] = async (source, place) => {
    try {
      const found = await store.sourceAnswer(source, place);
      if (found === null || found.fetchedAtMs < nowMs() - MOST_AGE_MS) return null;
      const value: DailyWeather = await days({ source: 'kept' }, encoder.encode(found.text));
      return { value, fetchedAtMs: found.fetchedAtMs };
    } catch (thrown) {
      warn({ source, problem: messageOf(thrown) }, 'kept weather was not read');
      return null;
    }
  };

  const written = async (name: string): Promise<void> => {
    await nextTurn();
    const write = waiting.get(name);
    waiting.delete(name);
    await write?.();
  };

  const put: Shelf['put'] = (source, place, { value, fetchedAtMs }, most) => {
    const name = `${source} ${place}`;
    if (!waiting.has(name)) last = last.then(() => written(name));
    waiting.set(name, async () => {
      try {
        const answer = { source, place, fetchedAtMs, text: JSON.stringify(value) };
        await store.keepSourceAnswer(answer, { most, oldestMs: nowMs() - MOST_AGE_MS });
      } catch (thrown) {
        warn({ source, problem: messageOf(thrown) }, 'weather was not kept');
      }
    });
  };

  /** What is being written is; what waits is let go, as a store that is down would hold up the end. */
  const close = (): Promise<void> => {
    waiting.clear();
    return last;
  };
  return { taken, put, close };
};
