import { pino } from 'pino';
import { loadCatalogue } from '../catalogue/load.ts';
import { whitethreadError } from '../core/base/errors.ts';
import { sourceShelf } from '../service/sourceShelf.ts';
import type { SourceId } from '../sources/live/contract.ts';
import { liveSources, type SourcesConfig } from '../sources/live/registry.ts';
import type { Store } from '../store/contract.ts';
import { openStore } from '../store/open.ts';
import { httpApp } from './app.ts';
import { keepDemoFarm } from './demoStore.ts';
import { REPLAY_MS } from './once.ts';
import { pool } from './pool.ts';
import type { Settings } from './settings/schema.ts';
import { sourceLog } from './sourceLog.ts';

const HOUR_MS = 3_600_000;
/** One computation may take so long, and so many may wait for a thread. */
const MOST_MS = 5000;
const QUEUE = 200;

export type Server = {
  readonly address: string;
  /** The demo farm that was put into an empty database. */
  readonly demo: string | null;
  /** Whether there was an operator key that opens something when it started. */
  readonly hasKey: boolean;
  /** Requests under way finish; then workers and database close. */
  readonly close: () => Promise<void>;
};

type Compute = ReturnType<typeof pool>;

const isLoopback = (host: string): boolean => /^(localhost|127(\.\d{1,3}){3}|::1|\[::1\])$/.test(host);

const hasOperatorKey = async (store: Store): Promise<boolean> =>
  (await store.keys(null)).some(
    ({ revokedAtMs, expiresAtMs }) => revokedAtMs === null && (expiresAtMs === null || expiresAtMs > Date.now()),
  );

const assertMayBind = (host: string, hasKey: boolean): void => {
  if (isLoopback(host) || hasKey) return;
  throw whitethreadError([
    {
      code: 'forbidden',
      where: '--host',
      given: host,
      allowed: '127.0.0.1 as long as there is no operator key that opens anything',
      advice: 'Make one with `whitethread key --role operator` on the same --store, then start again',
    },
  ]);
};

type Means = Pick<SourcesConfig, 'days' | 'shelf' | 'keptFrac' | 'watch'>;

const sourcesOf = ({ CONTACT, SOURCES }: Settings, means: Means): Partial<ReturnType<typeof liveSources>> => {
  if (CONTACT === undefined) return {};
  const bases = SOURCES.map((text) => text.split(/=(.*)/s, 2) as [SourceId, string]);
  return liveSources({ userAgentContact: CONTACT, bases: Object.fromEntries(bases), ...means });
};

const ofHost = ['--host', 'an address or a name of this machine'] as const;
/** What is wrong where the system does not let a server listen, by its code. */
const wrongWith: Readonly<Record<string, readonly [where: string, allowed: string]>> & {
  readonly EADDRINUSE: readonly [string, string];
} = {
  EADDRINUSE: ['--port', 'a port that is free'],
  EACCES: ['--port', 'a port that this user may open, 1024 or above for most'],
  EADDRNOTAVAIL: ofHost,
  ENOTFOUND: ofHost,
  EAI_AGAIN: ofHost,
  EINVAL: ofHost,
};

const listening = async (app: Awaited<ReturnType<typeof httpApp>>, host: string, port: number): Promise<string> => {
  try {
    return await app.listen({ host, port });
  } catch (error) {
    const given = error instanceof Error ? error.message : String(error);
    const [where, allowed] = wrongWith[(error as NodeJS.ErrnoException).code ?? ''] ?? wrongWith.EADDRINUSE;
    throw whitethreadError([{ code: 'invalid-input', where, given, allowed }]);
  }
};

const started = async (store: Store, compute: Compute, settings: Settings): Promise<Server> => {
  const hasKey = await hasOperatorKey(store);
  assertMayBind(settings.HOST, hasKey);
  const log = pino({ level: settings.LOG_LEVEL });
  const { days } = compute;
  const { failures, watch } = sourceLog(log);
  const shelf = sourceShelf({ store, days, nowMs: Date.now, warn: (about, text) => log.warn(about, text) });
  const deps = {
    store,
    sources: sourcesOf(settings, { days, shelf, watch: watch('farms') }),
    sentSources: sourcesOf(settings, { days, keptFrac: 0.2, watch: watch('sent fields') }),
    figures: [failures],
    compute,
    catalogue: loadCatalogue(),
    nowMs: Date.now,
  };
  const demo = await keepDemoFarm(deps);
  await compute.warm();
  const app = await httpApp(deps, {
    origins: settings.ORIGINS,
    ratePerMinute: settings.RATE_PER_MINUTE,
    trustProxy: settings.TRUST_PROXY,
    logLevel: settings.LOG_LEVEL,
  });
  const address = await listening(app, settings.HOST, settings.PORT);
  const forgotten = (): Promise<void> =>
    store.forgetReplays(Date.now() - REPLAY_MS).catch((error: unknown) => {
      log.warn(error, 'idempotency keys were not forgotten; tried again in an hour');
    });
  const forget = setInterval(() => void forgotten(), HOUR_MS);
  const close = async (): Promise<void> => {
    clearInterval(forget);
    await app.close();
    await shelf.close();
    await compute.close();
    await store.close();
  };
  return { address, demo, hasKey, close };
};

/**
 * Opens the database, starts the workers and listens.
 * @throws WhitethreadError where the address may not be bound, is taken, or the database cannot be opened
 */
export const startServer = async (settings: Settings): Promise<Server> => {
  const store = await openStore(settings.STORE);
  const compute = pool({ threads: settings.WORKERS, queue: QUEUE, mostMs: MOST_MS });
  try {
    return await started(store, compute, settings);
  } catch (error) {
    // Threads that stay would keep the process.
    await compute.close();
    await store.close();
    throw error;
  }
};
