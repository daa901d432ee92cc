import type { IncomingMessage, ServerResponse } from 'node:http';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Store } from '../store/contract.ts';
import type { App } from './contract.ts';
import type { Limits } from './limits.ts';
import type { Observe } from './observe.ts';

/** Longer answers are packed for each caller. */
const MOST_CHARACTERS = 4000;
/** Of so many answers, and addresses as long, at most: some 20 MB. */
const MOST_ANSWERS = 4000;
const MOST_URL = 500;

/** Fields that are of one answer only. */
const ofOneAnswer = new Set(['x-request-id', 'ratelimit', 'content-length']);

type Answer = {
  /** Names and values in turn, as the server takes them. */
  readonly fields: readonly string[];
  /** Text, which goes out in one piece with the head; bytes would be a second. */
  readonly body: string;
  readonly who: NonNullable<FastifyRequest['who']>;
  readonly observe: (seconds: number) => void;
};

type Outgoing = {
  readonly reply: ServerResponse;
  readonly fields: string[];
  readonly answer: Answer;
  readonly start: number;
};

export type Again = {
  /** Gives the answer if it was given before. False where it was not: nothing is done then. */
  readonly answers: (request: IncomingMessage, reply: ServerResponse) => boolean;
  /** Keeps the answers of timeless routes from now on. */
  readonly keepFrom: (app: App, observe: Observe) => void;
};

/** A condition, a wish for another form or a page of another origin is for the usual way. */
const isPlain = ({ method, url = '', headers }: IncomingMessage): boolean =>
  method === 'GET' &&
  headers.authorization !== undefined &&
  headers['if-none-match'] === undefined &&
  headers.origin === undefined &&
  (headers.accept === undefined || headers.accept === '*/*' || headers.accept === 'application/json') &&
  url.length <= MOST_URL;

const fieldsOf = (reply: FastifyReply, text: string): string[] => {
  const kept = Object.entries(reply.getHeaders()).filter(([name]) => !ofOneAnswer.has(name));
  return [...kept.flatMap(([name, value]) => [name, String(value)]), 'content-length', String(Buffer.byteLength(text))];
};

/**
 * Gives a short answer of a timeless route again to the same key as long as nobody has written anything, before the
 * framework sees the request: every check that was made for the first answer would end as it did. It is counted against
 * the limits and timed as any other. Where the database does not tell of writes, nothing is given again.
 * @param requestId of a request
 */
export const again = (
  { generation }: Pick<Store, 'generation'>,
  limits: Pick<Limits, 'countKnown'>,
  nowMs: () => number,
  requestId: (request: IncomingMessage) => string,
): Again => {
  /** By Authorization, then by address: in memory only, and only until the next write. */
  const held = new Map<string, Map<string, Answer>>();
  let size = 0;
  let heldSince = Number.NaN;
  let isOpen = false;

  const forget = (): void => {
    held.clear();
    size = 0;
  };
  /** The generation now; NaN, which is like none, where the database is not to be asked. */
  const current = (): number => {
    try {
      return generation?.() ?? Number.NaN;
    } catch {
      return Number.NaN;
    }
  };
  const known = ({ headers, url = '' }: IncomingMessage): Answer | undefined => {
    const answer = held.get(headers.authorization ?? '')?.get(url);
    if (answer === undefined || current() !== heldSince) return undefined;
    const { expiresAtMs } = answer.who;
    return expiresAtMs === null || expiresAtMs > nowMs() ? answer : undefined;
  };
  const keep = (request: FastifyRequest, answer: Answer): void => {
    if (request.since !== heldSince || size >= MOST_ANSWERS) forget();
    heldSince = request.since;
    const key = request.headers.authorization ?? '';
    const ofKey = held.get(key) ?? new Map<string, Answer>();
    held.set(key, ofKey.set(request.url, answer));
    size++;
  };

  let outgoing: Outgoing[] = [];
  /** The callers first, then the figures. */
  const sendAll = (): void => {
    const sent = outgoing;
    outgoing = [];
    for (const { reply, fields, answer } of sent) reply.writeHead(200, fields).end(answer.body);
    const now = performance.now();
    for (const { answer, start } of sent) answer.observe((now - start) / 1000);
  };
  /**
   * What was asked for in one turn of the event loop goes out together at its end: a caller with many connections, such
   * as a proxy, is woken once and not for each, which costs more than the answer.
   */
  const send = (one: Outgoing): void => {
    if (outgoing.push(one) === 1) setImmediate(sendAll);
  };

  return {
    answers: (request, reply) => {
      if (!isOpen || !isPlain(request)) return false;
      const start = performance.now();
      const answer = known(request);
      const limit = answer === undefined ? null : limits.countKnown(answer.who.keyId);
      if (answer === undefined || limit === null) return false;
      const fields = answer.fields.slice();
      fields.push('x-request-id', requestId(request), 'ratelimit', limit);
      send({ reply, fields, answer, start });
      return true;
    },
    keepFrom: (app, { observerOf, tellsReads }) => {
      // Where every read is to be told in the log, the usual way tells it.
      isOpen = generation !== null && !tellsReads;
      app.addHook('preClose', (done) => {
        isOpen = false;
        done();
      });
      app.decorateRequest('since', Number.NaN);
      app.addHook('onRequest', (request, _, done) => {
        if (isOpen && request.routeOptions.config.isTimeless === true) request.since = current();
        done();
      });
      app.addHook('onSend', (request, reply, payload, done) => {
        const { who, since } = request;
        if (
          !Number.isNaN(since) &&
          since === current() &&
          who !== null &&
          reply.statusCode === 200 &&
          isPlain(request.raw)
        )
          if (typeof payload === 'string' && payload.length <= MOST_CHARACTERS)
            keep(request, {
              fields: fieldsOf(reply, payload),
              body: payload,
              who,
              observe: observerOf(request, 200),
            });
        done(null, payload);
      });
    },
  };
};
