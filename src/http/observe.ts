import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Logger } from 'pino';
import { collectDefaultMetrics, Histogram, Registry } from 'prom-client';
import { withoutSecret } from '../service/keyForm.ts';
import { givenKeyId } from './access.ts';
import type { App } from './contract.ts';
import { ends } from './ends.ts';

const SAFE_ID = /^[A-Za-z0-9._-]{8,64}$/;

/** The caller's own id of the request where it is harmless in a log, else none. */
export const givenRequestId = (header: string | string[] | undefined): string | undefined =>
  typeof header === 'string' && SAFE_ID.test(header) ? header : undefined;

const changes = (method: string): boolean => method !== 'GET' && method !== 'HEAD' && method !== 'OPTIONS';

/** Path without the query and without the secret of a key: nothing that a caller may have put there by mistake. */
const pathOf = (url: string): string => withoutSecret(url.split('?', 1)[0] as string);

/** Who was turned away before it was known whose key it is: from where, and with which key, right or wrong. */
const stranger = (request: FastifyRequest, status: number) => {
  if (status !== 401 && status !== 429) return {};
  const id = request.who === null ? givenKeyId(request) : undefined;
  return { ip: request.ip, ...(id === undefined ? {} : { givenKeyId: id }) };
};

const madeOf = ({ made }: FastifyRequest, reply: FastifyReply) => {
  if (made === null) return {};
  const { id, ...more } = made;
  return { made: id, ...more, ...(reply.hasHeader('idempotency-replayed') ? { replayed: true } : {}) };
};

/** Of an operator the farm of the address: the key has none. */
const farmOf = ({ who, params }: FastifyRequest): string | null => {
  const { farmId } = Object(params) as { readonly farmId?: string };
  return who?.farmId ?? (farmId === undefined ? null : withoutSecret(farmId));
};

const line = (request: FastifyRequest, reply: FastifyReply, hungUp: boolean) => ({
  reqId: request.id,
  method: request.method,
  path: pathOf(request.url),
  status: reply.statusCode,
  ms: Math.round(reply.elapsedTime * 10) / 10,
  ...(request.who === null ? {} : { keyId: request.who.keyId, farmId: farmOf(request) }),
  ...stranger(request, reply.statusCode),
  ...(hungUp ? { hungUp } : {}),
});

/** Tells of one request: a change that was made is an audit line (who, what, when); reads are told at level debug. */
const told = (log: Logger, request: FastifyRequest, reply: FastifyReply, hungUp: boolean): void => {
  const { config, schema } = request.routeOptions;
  // To compute for a reader changes nothing: what does needs more than a reader.
  const isChange = (config.role ?? 'reader') !== 'reader' && changes(request.method);
  if (reply.statusCode >= 400) log.info(line(request, reply, hungUp), 'refused');
  else if (isChange)
    log.info({ audit: schema?.operationId, ...line(request, reply, hungUp), ...madeOf(request, reply) }, 'change');
  else if (log.isLevelEnabled('debug')) log.debug(line(request, reply, hungUp), 'answered');
};

type Observer = (seconds: number) => void;

/** Times of requests by route and status. A look-up by label costs more than the count, so each is kept. */
const timer = (registry: Registry) => {
  const seconds = new Histogram({
    name: 'whitethread_http_request_seconds',
    help: 'Time from the request to the end of its answer',
    labelNames: ['method', 'route', 'status'],
    buckets: [0.001, 0.005, 0.01, 0.05, 0.1, 0.5, 1, 5, 30],
    registers: [registry],
  });
  const observers = new Map<string, Observer>();
  return ({ method, routeOptions }: FastifyRequest, status: number): Observer => {
    const route = routeOptions.url ?? 'none';
    const name = `${method} ${route} ${status}`;
    const known = observers.get(name);
    if (known !== undefined) return known;
    const labelled = seconds.labels(method, route, String(status));
    const observer: Observer = (time) => labelled.observe(time);
    observers.set(name, observer);
    return observer;
  };
};

export type Observe = {
  readonly registry: Registry;
  /** Takes the times of answers of a route with a status. */
  readonly observerOf: (request: FastifyRequest, status: number) => Observer;
  /** Whether the log has a line of every read. */
  readonly tellsReads: boolean;
};

/** Log lines and figures. No line holds a key, a body, a query or a header. */
export const observe = (app: App, log: Logger): Observe => {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const observerOf = timer(registry);
  app.decorateRequest('made', null);
  ends(app, (request, reply, hungUp) => {
    observerOf(request, reply.statusCode)(reply.elapsedTime / 1000);
    told(log, request, reply, hungUp);
  });
  app.addHook('onClose', (_, done) => {
    registry.clear();
    done();
  });
  return { registry, observerOf, tellsReads: log.isLevelEnabled('debug') };
};
