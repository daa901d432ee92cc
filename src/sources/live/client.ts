import { performance } from 'node:perf_hooks';
import { setTimeout as wait } from 'node:timers/promises';
import { putBounded, turns } from './bounded.ts';
import { type Breaker, called, closedBreaker, failed, mayCall, succeeded } from './breaker.ts';
import { type Failure, isFailure, malformed, unavailable } from './failure.ts';
import { conditions, type Validity, validity } from './freshness.ts';
import { connections, getReply, type Limits, type Reply } from './http.ts';
import { jitterMs, MOST_RETRIES } from './retry.ts';

export type ClientOptions = {
  readonly id: string;
  /** From the configuration, never from a request. */
  readonly baseUrl: string;
  readonly userAgent: string;
  readonly nowMs: () => number;
  readonly random: () => number;
  readonly limits: Limits;
};

/** What was read out of an answer, and when the source gave or confirmed it. */
export type Given<T> = { readonly value: T; readonly fetchedAtMs: number };

export type Client = {
  /**
   * What a reader makes of the JSON at a path below the base address. Fresh answers come from memory, older ones are
   * asked for anew on condition that they changed; the same question at the same time is one call.
   * @param read throws a Failure where the answer cannot be weather; then it is not kept and counts against the source
   * @param key names the question where one path is read in several ways
   * @throws Failure
   */
  readonly get: <T>(path: string, read: (body: unknown) => T, key?: string) => Promise<Given<T>>;
};

type Kept = Given<unknown> & Validity;
/** Cells times spans that are in use at a time; more than that go round. */
const MOST_KEPT = 200;

const json = (id: string, text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    throw malformed(id, 'body', text.slice(0, 60), 'JSON');
  }
};

const failureOf = (id: string, thrown: unknown): Failure => {
  if (isFailure(thrown)) return thrown;
  const { code: given, name } = thrown as { code?: unknown; name?: unknown };
  const code = typeof given === 'string' ? given : String(name);
  if (code === 'UND_ERR_RES_EXCEEDED_MAX_SIZE') return malformed(id, 'body', 'too large', 'at most 5 MiB');
  if (code === 'UND_ERR_INVALID_ARG' || code === 'ERR_INVALID_URL')
    return malformed(id, 'redirect', 'an address that leads nowhere', 'another address of its own');
  return unavailable(id, code, { retryable: true });
};

/** The one way to a source: its connections, its breaker, and its answers as long as they hold. */
export const sourceClient = ({ id, baseUrl, userAgent, nowMs, random, limits }: ClientOptions): Client => {
  const base = new URL(baseUrl);
  const dispatcher = connections(id, base.origin, limits);
  const inTurn = turns(limits.connections);
  const keptByKey = new Map<string, Kept>();
  const asking = new Map<string, Promise<Kept>>();
  let breaker: Breaker = closedBreaker;

  const accepted = (reply: Reply, read: (body: unknown) => unknown, kept: Kept | undefined): Kept => {
    const now = nowMs();
    if (reply.status !== 304)
      return { value: read(json(id, reply.text)), fetchedAtMs: now, ...validity(reply.headers, now) };
    if (kept === undefined) throw malformed(id, '', 'HTTP 304', 'an answer where nothing is kept');
    return { value: kept.value, fetchedAtMs: now, ...validity(reply.headers, now, kept) };
  };

  const attempt = async (
    path: string,
    read: (body: unknown) => unknown,
    kept: Kept | undefined,
    signal: AbortSignal,
  ) => {
    if (signal.aborted) throw unavailable(id, 'no free connection in time', { blamed: false });
    if (!mayCall(breaker, nowMs())) throw unavailable(id, 'pause after failures', { blamed: false });
    breaker = called(breaker, nowMs());
    try {
      const headers = { accept: 'application/json', 'accept-encoding': 'gzip', 'user-agent': userAgent };
      const url = new URL(base.pathname.replace(/\/$/, '') + path, base.origin);
      const conditional = { ...headers, ...(kept === undefined ? {} : conditions(kept)) };
      const reply = await getReply(id, url, conditional, { dispatcher, limits, signal, nowMs: nowMs() });
      const answer = accepted(reply, read, kept);
      breaker = succeeded(breaker);
      return answer;
    } catch (thrown) {
      const failure = failureOf(id, thrown);
      breaker = failure.blamed ? failed(breaker, nowMs(), failure.retryAfterMs ?? 0) : succeeded(breaker);
      throw failure;
    }
  };

  const ask = async (path: string, read: (body: unknown) => unknown, kept: Kept | undefined): Promise<Kept> => {
    const endsAt = performance.now() + limits.totalMs;
    const signal = AbortSignal.timeout(limits.totalMs);
    for (let tries = 1; ; tries++) {
      try {
        return await inTurn(() => attempt(path, read, kept, signal));
      } catch (thrown) {
        const failure = failureOf(id, thrown);
        const waitMs = failure.retryAfterMs ?? jitterMs(tries, limits.firstWaitMs, random());
        const inTime = performance.now() + waitMs < endsAt;
        if (!failure.retryable || tries > MOST_RETRIES || breaker.probeAtMs !== null || !inTime) throw failure;
        // A timer may be a moment early, and a held breaker is strict.
        await wait(Math.ceil(waitMs) + 2);
      }
    }
  };

  const get = async <T>(path: string, read: (body: unknown) => T, key = path): Promise<Given<T>> => {
    const kept = keptByKey.get(key);
    if (kept !== undefined && nowMs() < kept.freshUntilMs) return kept as Given<T>;
    const going = asking.get(key) ?? ask(path, read, kept).finally(() => asking.delete(key));
    asking.set(key, going);
    const answer = await going;
    putBounded(keptByKey, key, answer, MOST_KEPT);
    return answer as Given<T>;
  };
  return { get };
};
