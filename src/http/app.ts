import { randomUUID } from 'node:crypto';
import compress from '@fastify/compress';
import cors from '@fastify/cors';
import underPressure from '@fastify/under-pressure';
import fastify from 'fastify';
import { serializerCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod';
import { type Logger, pino } from 'pino';
import { access } from './access.ts';
import { jsonBodies } from './bodies.ts';
import { closing } from './closing.ts';
import type { App, HttpDeps, HttpOptions } from './contract.ts';
import { deprecation } from './deprecation.ts';
import { refusal } from './errors.ts';
import { clientFault, fail, faults } from './faults.ts';
import { headerFields } from './headers.ts';
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
import { securityHeaders } from './securityHeaders.ts';
import { validation } from './validation.ts';

const SECOND_MS = 1000;

/** Lines of our own: a logger for every request, as the framework makes it, costs more than a small read. */
const logOf = ({ logLevel, logTo }: HttpOptions): Logger => pino({ level: logLevel }, logTo);

const bare = (options: HttpOptions, log: Logger): App =>
  fastify({
    trustProxy: options.trustProxy.length === 0 ? false : [...options.trustProxy],
    genReqId: ({ headers }) => givenRequestId(headers['x-request-id']) ?? randomUUID(),
    connectionTimeout: 60 * SECOND_MS,
    requestTimeout: 30 * SECOND_MS,
    keepAliveTimeout: 72 * SECOND_MS,
    bodyLimit: 1024 * 1024,
    return503OnClosing: false,
    clientErrorHandler: clientFault,
    frameworkErrors: (error, request, reply) => {
      fail(log)(error, request, reply);
    },
  }).withTypeProvider<ZodTypeProvider>();

/** Everything that stands before the routes, in the order in which a request meets it. */
const furnished = async (app: App, deps: HttpDeps, options: HttpOptions, log: Logger) => {
  app.setValidatorCompiler(validation);
  app.setSerializerCompiler(serializerCompiler);
  faults(app, log);
  deprecation(app);
  closing(app);
  const registry = observe(app, log);
  securityHeaders(app);
  if (options.origins.length > 0) await app.register(cors, { origin: [...options.origins], methods, exposedHeaders });
  await app.register(underPressure, { maxEventLoopDelay: SECOND_MS, pressureHandler: tooBusy });
  access(app, deps, limits(options.ratePerMinute, deps.nowMs));
  negotiation(app);
  jsonBodies(app);
  app.addHook('onRoute', (route) => {
    // What brings no body needs no one who unpacks it.
    if (route.method === 'GET' || route.method === 'HEAD') route.decompress = false;
  });
  await app.register(compress, {
    threshold: 4096,
    encodings: ['br', 'gzip'],
    requestEncodings: ['gzip', 'br', 'deflate'],
  });
  return registry;
};

const methods = ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE'];
const exposedHeaders = Object.keys(headerFields);

const tooBusy = async (): Promise<never> => {
  throw refusal('overloaded', 'server', 'more work than it can do', 'the same request later');
};

/** The server, ready to listen or to be asked by `inject`. Closing it leaves the store and the workers to the caller. */
export const httpApp = async (deps: HttpDeps, options: HttpOptions): Promise<App> => {
  const log = logOf(options);
  const app = bare(options, log);
  const registry = await furnished(app, deps, options, log);
  await openapi(app, deps.catalogue);
  await app.register(async (scope: App) => serverRoutes(scope, deps, registry));
  await app.register(async (scope: App) => catalogueRoutes(scope, deps));
  await app.register(async (scope: App) => outlookRoutes(scope, deps));
  for (const routes of [farmRoutes, keyRoutes, recordRoutes, weatherRoutes, tomorrowRoutes])
    await app.register(async (scope: App) => routes(scope, deps));
  await app.ready();
  return app;
};
