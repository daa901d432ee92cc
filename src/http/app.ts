import { randomUUID } from 'node:crypto';
import { createServer, type IncomingMessage } from 'node:http';
import cors from '@fastify/cors';
import underPressure from '@fastify/under-pressure';
import fastify, { type FastifyServerOptions } from 'fastify';
import { serializerCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod';
import { type Logger, pino } from 'pino';
import { access } from './access.ts';
import { type Again, again } from './again.ts';
import { jsonBodies, packedBodies } from './bodies.ts';
import { clientFault, lacksHost, MOST_ARRIVAL_MS, unmet } from './clientFault.ts';
import { closing } from './closing.ts';
import { compression } from './compression.ts';
import { conditionsOfWrites } from './conditions.ts';
import type { App, HttpDeps, HttpOptions } from './contract.ts';
import { deprecation } from './deprecation.ts';
import { refusal } from './errors.ts';
import { fail, faults } from './faults.ts';
import { headerFields } from './headers.ts';
import { MOST_MS } from './inTime.ts';
import { limits } from './limits.ts';
import { negotiation } from './negotiation.ts';
import { givenRequestId, observe } from './observe.ts';
import { openapi } from './openapi.ts';
import { catalogueRoutes } from './routes/catalogue.ts';
import { farmRoutes } from './routes/farms.ts';
import { keyRoutes } from './routes/keys.ts';
import { outlookRoutes } from './routes/outlooks.ts';
import { recordRoutes } from './routes/records.ts';
import { serverRoutes } from './routes/server.ts';
import { tomorrowRoutes } from './routes/tomorrow.ts';
import { weatherRoutes } from './routes/weather.ts';
import { noQuery } from './schema.ts';
import { securityHeaders } from './securityHeaders.ts';
import { validation } from './validation.ts';

const SECOND_MS = 1000;

/** Lines of our own: a logger for every request, as the framework makes it, costs more than a small read. */
const logOf = ({ logLevel, logTo }: HttpOptions): Logger => pino({ level: logLevel }, logTo);

/** The caller's own id of a request where it is harmless, else a new one. */
const requestId = ({ headers }: IncomingMessage): string => givenRequestId(headers['x-request-id']) ?? randomUUID();

/** A server that first looks whether the answer was given before. */
const serverFactory =
  (before: Again, log: Logger): NonNullable<FastifyServerOptions['serverFactory']> =>
  (handler) => {
    const refused = unmet(log);
    // Whose absence the server would refuse itself, without a problem.
    const server = createServer({ requireHostHeader: false }, (request, reply) => {
      if (lacksHost(request)) refused.host(request, reply);
      else if (!before.answers(request, reply)) handler(request, reply);
    });
    server.on('checkExpectation', refused.expectation);
    server.requestTimeout = MOST_ARRIVAL_MS;
    server.keepAliveTimeout = 72 * SECOND_MS;
    // Later than an answer may take, so that its refusal is told and not cut off.
    server.setTimeout(MOST_MS + 15 * SECOND_MS);
    return server;
  };

const bare = (options: HttpOptions, log: Logger, before: Again): App =>
  fastify({
    serverFactory: serverFactory(before, log),
    trustProxy: options.trustProxy.length === 0 ? false : [...options.trustProxy],
    genReqId: requestId,
    bodyLimit: 1024 * 1024,
    return503OnClosing: false,
    clientErrorHandler: clientFault(log),
    frameworkErrors: (error, request, reply) => {
      fail(log)(error, request, reply);
    },
  }).withTypeProvider<ZodTypeProvider>();

/** Everything that stands before the routes, in the order in which a request meets it. */
const furnished = async (app: App, options: HttpOptions, log: Logger, before: Again, admit: (app: App) => void) => {
  app.setValidatorCompiler(validation);
  app.setSerializerCompiler(serializerCompiler);
  faults(app, log);
  deprecation(app);
  closing(app);
  const observed = observe(app, log);
  before.keepFrom(app, observed);
  securityHeaders(app);
  if (options.origins.length > 0) await app.register(cors, { origin: [...options.origins], methods, exposedHeaders });
  await app.register(underPressure, { maxEventLoopDelay: options.mostLateMs ?? SECOND_MS, pressureHandler: tooBusy });
  admit(app);
  negotiation(app);
  conditionsOfWrites(app);
  jsonBodies(app);
  app.addHook('onRoute', (route) => {
    // What would have no effect is refused, such as units where none can be chosen; probes may add what they like.
    const hasKey = route.config?.role !== undefined && route.config.role !== null;
    if (hasKey && route.schema !== undefined) route.schema.querystring ??= noQuery;
  });
  compression(app);
  await packedBodies(app);
  return observed.registry;
};

const methods = ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE'];
const exposedHeaders = Object.keys(headerFields);

const tooBusy = async (): Promise<never> => {
  throw refusal('overloaded', 'server', 'more work than it can do', 'the same request later');
};

/** The server, ready to listen or to be asked by `inject`. Closing it leaves the store and the workers to the caller. */
export const httpApp = async (deps: HttpDeps, options: HttpOptions): Promise<App> => {
  const log = logOf(options);
  const limit = limits(options.ratePerMinute, deps.nowMs);
  const before = again(deps.store, limit, deps.nowMs, requestId);
  const app = bare(options, log, before);
  const registry = await furnished(app, options, log, before, () => access(app, deps, limit));
  for (const figure of deps.figures ?? []) registry.registerMetric(figure);
  await openapi(app, deps.catalogue);
  await app.register(async (scope: App) => serverRoutes(scope, deps, registry));
  await app.register(async (scope: App) => catalogueRoutes(scope, deps));
  await app.register(async (scope: App) => outlookRoutes(scope, deps));
  for (const routes of [farmRoutes, keyRoutes, recordRoutes, weatherRoutes, tomorrowRoutes])
    await app.register(async (scope: App) => routes(scope, deps));
  await app.ready();
  return app;
};
