import { readFileSync } from 'node:fs';
import type { Registry } from 'prom-client';
import { openapiDocument, state, text } from '../answers/schema.ts';
import type { App, HttpDeps } from '../contract.ts';
import { refusal } from '../errors.ts';
import { inTime } from '../inTime.ts';
import { sendRaw } from '../raw.ts';

const errorsPage = readFileSync(new URL('../../../docs/errors.md', import.meta.url), 'utf8');
const open = { role: null, unlimited: true } as const;
const tags = ['server'];

/** A load balancer asks every few seconds, and a database may be silent for much longer before it is given up. */
const READY_MS = 3000;
const silent = (mostMs: number) =>
  refusal('store-unavailable', 'database', `no answer within ${mostMs / 1000} s`, 'a database that answers');

/** State of the server, its figures and its documents. */
export const serverRoutes = (app: App, { store }: HttpDeps, registry: Registry): void => {
  let document: string | undefined;

  app.get(
    '/health',
    {
      config: { ...open, pressureHandler: () => undefined },
      schema: {
        operationId: 'health',
        summary: 'Is the process alive?',
        description: 'Answers as long as the process runs, whatever the database does.',
        tags,
        response: { 200: state.describe('Alive') },
      },
    },
    () => ({ status: 'ok' as const }),
  );

  app.get(
    '/ready',
    {
      config: open,
      schema: {
        operationId: 'ready',
        summary: 'Can it serve requests?',
        description:
          'Asks the database, for three seconds at most; a load balancer sends requests only where this is 200.',
        tags,
        response: { 200: state.describe('Ready') },
      },
    },
    async () => {
      await inTime(store.ready(), READY_MS, silent);
      return { status: 'ready' as const };
    },
  );

  app.get(
    '/metrics',
    {
      config: { role: 'operator', gives: ['text/plain'] },
      schema: {
        operationId: 'metrics',
        summary: 'Figures for Prometheus',
        description: 'Times of requests by route and status, failures of weather services, memory, event loop.',
        tags,
        response: { 200: { description: 'Prometheus text format', content: { 'text/plain': { schema: text } } } },
      },
    },
    async (_, reply) => sendRaw(reply, registry.contentType, await registry.metrics()),
  );

  app.get(
    '/openapi.json',
    {
      config: { role: null },
      schema: {
        operationId: 'openapi',
        summary: 'This document',
        description: 'The OpenAPI 3.1 document of the server that runs.',
        tags,
        response: { 200: { description: 'OpenAPI 3.1', content: { 'application/json': { schema: openapiDocument } } } },
      },
    },
    (_, reply) => {
      document ??= JSON.stringify(app.swagger());
      reply.header('cache-control', 'public, max-age=300');
      return sendRaw(reply, 'application/json', document);
    },
  );

  app.get(
    '/errors',
    {
      config: { role: null, gives: ['text/markdown'] },
      schema: {
        operationId: 'errors',
        summary: 'What each code means',
        description:
          'Errors, reasons why a window is closed, findings about weather. The `type` of a problem points here.',
        tags,
        response: { 200: { description: 'Three tables', content: { 'text/markdown': { schema: text } } } },
      },
    },
    (_, reply) => {
      reply.header('cache-control', 'public, max-age=300');
      return sendRaw(reply, 'text/markdown', errorsPage);
    },
  );
};
