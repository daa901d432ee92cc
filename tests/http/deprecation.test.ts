import fastify from 'fastify';
import { serializerCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod';
import { expect, test } from 'vitest';
import { state } from '../../src/http/answers/schema.ts';
import type { App } from '../../src/http/contract.ts';
import { type Deprecated, deprecation } from '../../src/http/deprecation.ts';
import { openapi } from '../../src/http/openapi.ts';
import { catalogue } from './fakes.ts';
import { holder } from './walks/held.ts';
import type { Operation } from './walks/operations.ts';

const going: Deprecated = { since: '2026-01-01', sunset: '2027-01-01', see: '/docs/v2.html' };

/** A server with one route that is to go. */
const appWith = async (deprecated: Deprecated, furnish: (app: App) => void = deprecation): Promise<App> => {
  const app = fastify().withTypeProvider<ZodTypeProvider>() as unknown as App;
  app.setSerializerCompiler(serializerCompiler);
  furnish(app);
  await openapi(app, catalogue);
  app.register(async (scope: App) => {
    scope.get(
      '/old',
      {
        config: { role: null, unlimited: true, deprecated, sends: ['Link'], isTimeless: true },
        schema: {
          operationId: 'old',
          description: 'What was.',
          response: { 200: state.describe('The state') },
        },
      },
      (request, reply) => {
        if (request.headers['x-fail'] === '1') throw new Error('broken');
        reply.headers({ 'x-request-id': request.id, link: '<https://weather.example>; rel="license"' });
        return { status: request.routeOptions.config.isTimeless === true ? ('ready' as const) : ('ok' as const) };
      },
    );
  });
  await app.ready();
  return app;
};

const shownBy = (app: App) => {
  const document = app.swagger() as object as { paths: Record<string, Record<string, Operation['shown']>> };
  const shown = document.paths['/old']?.get as Operation['shown'];
  return { shown, held: holder(document) };
};

test('a route that is to go says since when, until when and what takes its place, in answers and document', async () => {
  const app = await appWith(going);
  const { shown, held } = shownBy(app);
  expect(shown).toMatchObject({
    deprecated: true,
    description: 'What was. Deprecated since 2026-01-01; goes after 2027-01-01. See /docs/v2.html.',
  });
  const answer = await app.inject('/old');
  expect(answer.headers).toMatchObject({
    deprecation: '@1767225600',
    sunset: 'Fri, 01 Jan 2027 00:00:00 GMT',
    link: '<https://weather.example>; rel="license", </docs/v2.html>; rel="deprecation"',
  });
  held({ id: 'old', shown }, answer);
  // From memory it would be given again without them.
  expect(answer.json().status).toBe('ok');
  const failed = await app.inject({ url: '/old', headers: { 'x-fail': '1' } });
  expect([failed.statusCode, failed.headers.deprecation]).toEqual([500, undefined]);
  await app.close();
});

test('the walk finds a route that the document calls deprecated and that does not say so', async () => {
  const app = await appWith(going, () => undefined);
  const { shown, held } = shownBy(app);
  const answer = await app.inject('/old');
  expect(() => held({ id: 'old', shown }, answer)).toThrow('lacks what is required');
  await app.close();
});

test.each([
  ['2026-12-31', 'a day too soon'],
  ['soon', 'no date'],
])('sunset %s, %s, stops the start', async (sunset) => {
  await expect(appWith({ ...going, sunset })).rejects.toThrow('/old goes within a year of saying so');
});
