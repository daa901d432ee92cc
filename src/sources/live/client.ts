import { putBounded, shared, turns } from './bounded.ts';
import { malformed, unavailable, whileReading } from './failure.ts';
import { conditions, type Validity, validity } from './freshness.ts';
import { guard } from './guard.ts';
import { connections, getReply, type Limits, type Reply } from './http.ts';
import { retried } from './retry.ts';
import { nobodyWatches, type SourceWatch } from './watch.ts';

export type ClientOptions = {
  readonly id: string;
  /** From the configuration, never from a request. */
  readonly baseUrl: string;
  readonly userAgent: string;
  readonly nowMs: () => number;
  readonly random: () => number;
  readonly limits: Limits;
  /** How long an answer holds where its headers do not say. */
  readonly usualFreshMs: number;
  /** So many answers are kept; those kept longest go first. */
  readonly mostKept: number;
  /** Told how the source is; nobody where nothing else is given. */
  readonly watch?: SourceWatch | undefined;
};

/** What was read out of an answer, and when the source gave or confirmed it. */
export type Given<T> = { readonly value: T; readonly fetchedAtMs: number };

type Read<T> = (bytes: Uint8Array) => T | Promise<T>;

export type Client = {
  /**
   * What a reader makes of the answer at a path below the base address. Fresh answers come from memory, older ones are
   * asked for anew on condition that they changed; the same question at the same time is one call.
   * @param read throws 'source-malformed' where the answer cannot be weather; then it is not kept and counts against the
   * source
   * @param key names the question where one path is read in several ways
   * @throws Failure
   */
  readonly get: <T>(path: string, read: Read<T>, key?: string) => Promise<Given<T>>;
};

type Kept<T> = Given<T> & Validity;
type Question<T> = { readonly path: string; readonly read: Read<T>; readonly kept: Kept<T> | undefined };

const readOut = async <T>(reply: Reply, { read }: Question<T>): Promise<T> => {
  try {
    return await read(reply.bytes);
  } catch (thrown) {
    throw whileReading(thrown);
  }
};

/** What is kept after a reply: what it says, or after a 304 what was kept before. */
const kept = async <T>(
  { id, usualFreshMs, nowMs }: ClientOptions,
  reply: Reply,
  question: Question<T>,
): Promise<Kept<T>> => {
  const now = nowMs();
  const holds = validity(reply.headers, now, usualFreshMs, question.kept);
  if (reply.status !== 304) return { value: await readOut(reply, question), fetchedAtMs: now, ...holds };
  if (question.kept === undefined) throw malformed(id, '', 'HTTP 304', 'an answer, as nothing is kept');
  return { value: question.kept.value, fetchedAtMs: now, ...holds };
};

/** Asks a source: its turn, its breaker, its retries. */
const asker = (options: ClientOptions) => {
  const { id, limits, nowMs, random } = options;
  const base = new URL(options.baseUrl);
  const dispatcher = connections(id, base.origin, limits);
  const inTurn = turns(limits.connections);
  const guarded = guard(id, nowMs, options.watch ?? nobodyWatches);
  // The US service has two shapes of JSON; ours is the first.
  const accept = 'application/geo+json, application/json';
  const always = { accept, 'accept-encoding': 'gzip', 'user-agent': options.userAgent };
  return <T>(question: Question<T>): Promise<Kept<T>> => {
    const url = new URL(base.pathname.replace(/\/$/, '') + question.path, base.origin);
    const headers = { ...always, ...(question.kept === undefined ? {} : conditions(question.kept)) };
    const attempt = async (signal: AbortSignal, queuedMs: number): Promise<Kept<T>> => {
      if (signal.aborted) throw unavailable(id, 'no free connection in time', { blamed: false });
      return guarded.run(async () => {
        const since = performance.now();
        const reply = await getReply(id, url, headers, { dispatcher, limits, signal, nowMs: nowMs() }).catch(
          (thrown: unknown) => {
            // It waited longer for its turn than it was then given: the crowd's fault, not the source's.
            if (signal.aborted && performance.now() - since < queuedMs)
              throw unavailable(id, 'no free connection in time', { blamed: false });
            throw thrown;
          },
        );
        return kept(options, reply, question);
      });
    };
    const { totalMs, firstWaitMs } = limits;
    const mayRetry = () => !guarded.isOpen();
    const queued = (signal: AbortSignal): Promise<Kept<T>> => {
      const since = performance.now();
      return inTurn(() => attempt(signal, performance.now() - since));
    };
    return retried(queued, { totalMs, firstWaitMs, random, mayRetry });
  };
};

/** The one way to a source: its connections, its breaker, and its answers as long as they hold. */
export const sourceClient = (options: ClientOptions): Client => {
  const ask = asker(options);
  const keptByKey = new Map<string, Kept<unknown>>();
  const once = shared<Kept<unknown>>();
  const get = async <T>(path: string, read: Read<T>, key = path): Promise<Given<T>> => {
    const before = keptByKey.get(key);
    const now = options.nowMs();
    // What was given after now is of before the clock was put back: for how long it holds cannot be told.
    if (before !== undefined && now >= before.fetchedAtMs && now < before.freshUntilMs) return before as Kept<T>;
    const answer = await once(key, () => ask<unknown>({ path, read, kept: before }));
    putBounded(keptByKey, key, answer, options.mostKept);
    return answer as Kept<T>;
  };
  return { get };
};
