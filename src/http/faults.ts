import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Logger } from 'pino';
import type { App } from './contract.ts';
import { asWhitethreadError, type ProblemDocument, problemDocument, refusal, type Sent } from './errors.ts';
import { leftoverRead } from './leftover.ts';

export const PROBLEM = 'application/problem+json; charset=utf-8';
/** What a caller waits before trying again where nothing better is known, s. */
const RETRY_S = 5;

const sendProblem = (reply: FastifyReply, document: ProblemDocument): FastifyReply => {
  reply.code(document.status).header('content-type', PROBLEM);
  if (document.status === 503 && !reply.hasHeader('retry-after')) reply.header('retry-after', RETRY_S);
  if (document.status === 401) reply.header('www-authenticate', 'Bearer');
  // Also where the address could not be read, which no hook sees.
  reply.header('x-request-id', document.instance);
  // Neither the tag nor the packing of what was to be sent.
  reply.removeHeader('etag').removeHeader('content-encoding');
  return reply.header('cache-control', 'no-store').send(JSON.stringify(document));
};

const sentOf = ({ headers, routeOptions: { config, bodyLimit } }: FastifyRequest): Sent => ({
  headers,
  types: ['application/json', ...(config?.takes ?? [])],
  mostBytes: bodyLimit,
});

type Fail = (thrown: unknown, request: FastifyRequest, reply: FastifyReply) => FastifyReply;

/** Answers with the problem of whatever was thrown; faults of ours go to the log whole. */
export const fail =
  (log: Logger): Fail =>
  (thrown, request, reply) => {
    const document = problemDocument(asWhitethreadError(thrown, sentOf(request)), request.id);
    leftoverRead(request.raw);
    if (document.status >= 500) log.error({ reqId: request.id, err: thrown }, document.type);
    return sendProblem(reply, document);
  };

type Known = { readonly pattern: RegExp; readonly methods: string[] };

const patternOf = (url: string): RegExp =>
  new RegExp(
    `^${url
      .replace(/[.+?^$()|[\]\\]/g, '\\$&')
      .replace(/:[^/]+/g, '[^/]+')
      .replace(/\*/g, '.*')}$`,
  );

/** Methods by address, gathered as routes are added, so that a wrong method can be told from a wrong address. */
const methodsByPath = (app: App): ((path: string) => string[]) => {
  const known = new Map<string, Known>();
  app.addHook('onRoute', ({ url, method }) => {
    // Browsers ask it before they call; it is no address of ours.
    if (url === '*') return;
    const entry = known.get(url) ?? { pattern: patternOf(url), methods: [] };
    entry.methods.push(...(typeof method === 'string' ? [method] : method));
    known.set(url, entry);
  });
  return (path) => [
    ...new Set([...known.values()].filter(({ pattern }) => pattern.test(path)).flatMap(({ methods }) => methods)),
  ];
};

/** Every fault as a problem: thrown errors, unknown addresses (404) and methods (405). */
export const faults = (app: App, log: Logger): void => {
  const methodsOf = methodsByPath(app);
  const failed = fail(log);
  app.setErrorHandler(failed);
  app.setNotFoundHandler((request, reply) => {
    const path = request.url.split('?', 1)[0] as string;
    const allowed = methodsOf(path).sort().join(', ');
    if (allowed === '')
      return failed(refusal('not-found', 'address', path, 'an address of /openapi.json'), request, reply);
    return failed(
      refusal('method-not-allowed', 'method', request.method, allowed),
      request,
      reply.header('allow', allowed),
    );
  });
};
