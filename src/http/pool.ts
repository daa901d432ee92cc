import { EventEmitter } from 'node:events';
import { Piscina } from 'piscina';
import { whitethreadError } from '../core/base/errors.ts';
import type { Compute } from '../service/contract.ts';
import { takenWeather } from '../service/takenWeather.ts';
import { type DaysOf, daysOf } from '../sources/live/reading.ts';
import { lent } from './lent.ts';
import { inOwnBuffer } from './ownBuffer.ts';
import type { Done, Task } from './worker.ts';

/** Under a TypeScript runner the workers need its loader too. */
const isSource = import.meta.url.endsWith('.ts');
const file = new URL(isSource ? './worker.ts' : './worker.js', import.meta.url);
const loader = isSource
  ? ['--import', `data:text/javascript,import{register}from"${import.meta.resolve('tsx/esm/api')}";register()`]
  : [];

/** Weather up to so long is read here, within a millisecond: a year or two of days. */
const MOST_HERE = 32 * 1024;
/** CSV takes ten times as long. */
const MOST_CSV_HERE = 4 * 1024;

export type PoolOptions = {
  readonly threads: number;
  /** So many tasks may wait; one more is refused. */
  readonly queue: number;
  readonly mostMs: number;
};

const overloaded = (queue: number) =>
  whitethreadError([
    {
      code: 'overloaded',
      where: 'server',
      given: 'one task more',
      allowed: `${queue} waiting tasks`,
      advice: 'Send it again later',
    },
  ]);

const late = (mostMs: number) =>
  whitethreadError([
    {
      code: 'timed-out',
      where: 'server',
      given: `more than ${mostMs / 1000} s`,
      allowed: `an answer within ${mostMs / 1000} s`,
      advice: 'Ask for fewer days or fields at once',
    },
  ]);

export type Pool = Compute & {
  /** Reads an answer of a weather service; a long one is handed over to a thread, not copied. */
  readonly days: DaysOf;
  /** Has every thread compute once, so that the first answer is as fast as the next. */
  readonly warm: () => Promise<void>;
  /** Lets what is under way finish. */
  readonly close: () => Promise<void>;
};

/** Worker threads that run the core. */
export const pool = ({ threads, queue, mostMs }: PoolOptions): Pool => {
  const piscina = new Piscina({
    filename: file.href,
    name: 'workThere',
    minThreads: threads,
    maxThreads: threads,
    execArgv: loader,
    // A thread that waits in its event loop lets the engine tidy up between tasks; one that sleeps does it within the next.
    atomics: 'disabled',
    recordTiming: false,
  });
  // Counted here: the pool's own limit lets tasks through while its threads start.
  let underWay = 0;
  const run = async (task: Task, transferList: ArrayBuffer[] = []): Promise<Done> => {
    if (underWay >= threads + queue) throw overloaded(queue);
    // No AbortSignal: to make one, and to end it when its task is long done, takes a tenth of a millisecond.
    const signal = new EventEmitter();
    let isLate = false;
    const time = setTimeout(() => {
      isLate = true;
      signal.emit('abort');
    }, mostMs);
    underWay++;
    try {
      const done: Done = await piscina.run(task, { signal, transferList });
      if ('problems' in done) throw whitethreadError(done.problems);
      return done;
    } catch (error) {
      if (isLate) throw late(mostMs);
      throw error;
    } finally {
      clearTimeout(time);
      underWay--;
    }
  };
  return {
    outlook: async (field, form) => {
      if (form.format !== 'json' || (form.packing ?? null) !== null)
        return (await run({ kind: 'outlook', field, ...form })) as Uint8Array;
      const memory = lent();
      return (await run({ kind: 'outlook', field, ...form, memory }, [memory])) as Uint8Array;
    },
    tomorrow: async (field) => {
      const done = await run({ kind: 'tomorrow', field });
      return (done as Extract<Done, { tomorrow: unknown }>).tomorrow;
    },
    mornings: async (field, dates) => {
      const done = await run({ kind: 'mornings', field, dates });
      return (done as Extract<Done, { mornings: unknown }>).mornings;
    },
    days: async (wanted, bytes) => {
      if (bytes.byteLength <= MOST_HERE) return daysOf(wanted, bytes);
      const own = inOwnBuffer(bytes);
      const done = await run({ kind: 'weather', wanted, bytes: own }, [own.buffer as ArrayBuffer]);
      return (done as Extract<Done, { weather: unknown }>).weather;
    },
    takenWeather: async (given) => {
      const most = given.type === 'csv' ? MOST_CSV_HERE : MOST_HERE;
      if (given.text.length + (given.before?.length ?? 0) <= most) return takenWeather(given);
      const done = await run({ kind: 'taken-weather', ...given });
      return (done as Extract<Done, { taken: unknown }>).taken;
    },
    told: async (what, answer, form) => {
      const done = await run({ kind: 'told', what, answer, ...form });
      return done as Uint8Array;
    },
    warm: async () => {
      await Promise.all(Array.from({ length: threads }, () => piscina.run({ kind: 'warmth' } satisfies Task)));
    },
    close: () => piscina.close(),
  };
};
