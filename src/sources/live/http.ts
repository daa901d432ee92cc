import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import { type Dispatcher, interceptors, Pool, request } from 'undici';
import { type Failure, isFailure, malformed, outside, shown, unavailable } from './failure.ts';
import type { Headers } from './freshness.ts';
import { retryAfterMs } from './retry.ts';

/** What one call may cost. */
export type Limits = {
  readonly connectMs: number;
  readonly headersMs: number;
  /** Between two pieces of the body. */
  readonly bodyMs: number;
  /** All of a question, waiting and asking again included. */
  readonly totalMs: number;
  readonly firstWaitMs: number;
  readonly bodyBytes: number;
  /** Calls to one source at a time. */
  readonly connections: number;
};

export const usualLimits: Limits = {
  connectMs: 3_000,
  headersMs: 4_000,
  bodyMs: 4_000,
  totalMs: 10_000,
  firstWaitMs: 500,
  bodyBytes: 5 * 1024 * 1024,
  connections: 4,
};

/** An answer that is none of an error: 304 with an empty body, or a success with its bytes, in memory of their own. */
export type Reply = { readonly status: number; readonly headers: Headers; readonly bytes: Uint8Array };

const MOST_REDIRECTS = 2;
const unzipped = promisify(gunzip);
/** Statuses that say "not this question", not "not now". */
const REFUSALS = [400, 404, 410, 422];

/** Redirects stay within the source's own address: nothing that it sends makes us call anyone else. */
const withinOrigin =
  (id: string, origin: string): Dispatcher.DispatcherComposeInterceptor =>
  (dispatch) =>
  (options, handler) => {
    if (String(options.origin) !== origin) throw malformed(id, 'redirect', String(options.origin), origin);
    return dispatch(options, handler);
  };

/** The connections to one source. */
export const connections = (id: string, origin: string, limits: Limits): Dispatcher =>
  new Pool(origin, {
    connections: limits.connections,
    connect: { timeout: limits.connectMs },
    headersTimeout: limits.headersMs,
    bodyTimeout: limits.bodyMs,
    maxResponseSize: limits.bodyBytes,
  }).compose(withinOrigin(id, origin), interceptors.redirect({ maxRedirections: MOST_REDIRECTS }));

const plain = async (id: string, headers: Headers, bytes: Uint8Array, limits: Limits): Promise<Uint8Array> => {
  const encoding = headers['content-encoding'] ?? 'identity';
  if (encoding === 'identity' || bytes.length === 0) return bytes;
  if (encoding !== 'gzip') throw malformed(id, 'content-encoding', String(encoding), 'gzip');
  try {
    return await unzipped(bytes, { maxOutputLength: limits.bodyBytes });
  } catch (error) {
    throw malformed(id, 'gzip', String(error), `whole, at most ${limits.bodyBytes} bytes`);
  }
};

/** The reason in an error of JSON, by the names that these services use; else the start of the text, of a page nothing. */
const reason = (bytes: Uint8Array): string => {
  const text = new TextDecoder().decode(bytes);
  try {
    const { reason, detail, errorMessage, message, messages } = JSON.parse(text);
    const told = reason ?? detail ?? messages ?? errorMessage ?? message ?? '';
    return shown(typeof told === 'string' ? told : JSON.stringify(told));
  } catch {
    return text.trimStart().startsWith('<') ? '' : shown(text.slice(0, 200));
  }
};

/** What undici threw, as a failure. */
const failureOf = (id: string, thrown: unknown, limits: Limits): Failure => {
  if (isFailure(thrown)) return thrown;
  const { code, name } = thrown as { code?: unknown; name?: unknown };
  // A time-out of all in all has a number for a code.
  const given = typeof code === 'string' ? code : String(name);
  if (given === 'UND_ERR_RES_EXCEEDED_MAX_SIZE')
    return malformed(id, 'body', 'too large', `at most ${limits.bodyBytes} bytes`);
  if (given === 'UND_ERR_INVALID_ARG' || given === 'ERR_INVALID_URL')
    return malformed(id, 'redirect', 'an address that leads nowhere', 'another address of its own');
  return unavailable(id, given, { retryable: true });
};

type Means = {
  readonly dispatcher: Dispatcher;
  readonly limits: Limits;
  readonly signal: AbortSignal;
  readonly nowMs: number;
};

/**
 * One GET of a source.
 * @throws Failure 'source-unavailable', 'source-malformed', 'source-outside'
 */
export const getReply = async (
  id: string,
  url: URL,
  headers: Record<string, string>,
  { dispatcher, limits, signal, nowMs }: Means,
): Promise<Reply> => {
  try {
    const reply = await request(url, { dispatcher, headers, signal });
    const bytes = await plain(id, reply.headers, new Uint8Array(await reply.body.arrayBuffer()), limits);
    const status = reply.statusCode;
    if (status === 304 || (status >= 200 && status < 300)) return { status, headers: reply.headers, bytes };
    const given = `HTTP ${status} ${reason(bytes)}`.trimEnd();
    if (REFUSALS.includes(status)) throw outside(id, given, 'what it covers');
    throw unavailable(id, given, {
      retryable: status === 429 || status >= 500,
      retryAfterMs: retryAfterMs(reply.headers['retry-after'], nowMs),
    });
  } catch (thrown) {
    throw failureOf(id, thrown, limits);
  }
};
