import helmet from '@fastify/helmet';
import swagger, { type SwaggerTransform, type SwaggerTransformObject } from '@fastify/swagger';
import swaggerUi from '@fastify/swagger-ui';
import { createJsonSchemaTransform, createJsonSchemaTransformObject } from 'fastify-type-provider-zod';
import type { CatalogueCore } from '../core/outlook/catalogue.ts';
import type { App } from './contract.ts';
import './named/schema.ts';
import { deprecationFields, deprecationText } from './deprecation.ts';
import { finished, type OpenApi, type RouteForm } from './document.ts';
import { examples } from './examples/examples.ts';

/** Rises with the API; its first number is in every path. */
const API_VERSION = '1.0.0';
const DESCRIPTION = `When to hoe: weed flushes, workable soil and pass windows of fields without herbicide.

Send a whole field and get its outlook (\`POST /v1/outlooks\`), or keep farms here and ask for their tomorrow. Every fault
is an \`application/problem+json\` document (RFC 9457) that lists all problems found; \`GET /errors\` explains the codes.
A method that an address does not take is 405 \`method-not-allowed\`; \`Allow\` names those it takes.
Lists are paged: send \`next\` back as \`cursor\`. Records carry a strong ETag; changing or removing one needs it in
\`If-Match\`. A repeated \`POST\` with the same \`Idempotency-Key\` within seven days gives the first answer
again; where keys are made it is refused, as a key is shown once.
Each operation names the least role of a key in \`x-role\`: reader, planner, keeper, operator; each may do what
those before it may.`;

/** Without the bar that opens other documents: the page is of this server only. */
const PAGE_CSS = '.swagger-ui .topbar { display: none }';

/** Without the word that has a browser ask for the page's parts by https, also where the page came by plain http. */
const asCalled = (policy: string): string => policy.replace(/;? *upgrade-insecure-requests/, '');

const tags = [
  { name: 'outlooks', description: 'Stateless: a field comes in, its outlook goes out, nothing is kept.' },
  { name: 'tomorrow', description: 'What a stored farm can do, from its fields and its weather.' },
  { name: 'farms', description: 'Farms and what happened to their records.' },
  { name: 'records', description: 'Everything a farm keeps, one kind a path.' },
  { name: 'weather', description: 'Daily weather of a farm’s stations.' },
  { name: 'keys', description: 'API keys: made once, shown once, revocable.' },
  { name: 'catalogue', description: 'Weeds, crops and implements that the program knows, each value with its origin.' },
  { name: 'server', description: 'State of the server and its documents.' },
];

const options = { zodToJsonConfig: { target: 'draft-2020-12' } } as const;
const fromZod = createJsonSchemaTransform(options);
const named = createJsonSchemaTransformObject(options);

/** Only operations that name themselves are shown; the least role and the key that is needed travel with them. */
const transform: SwaggerTransform = (route) => {
  if (route.schema?.operationId === undefined) return { schema: { hide: true }, url: route.url };
  const { role = null, refuses = [], takes = [], sends = [], unlimited = false, deprecated } = route.route.config ?? {};
  const saying = deprecated === undefined ? [] : deprecationFields;
  const form: RouteForm = { refuses, takes, sends: [...sends, ...saying], isUnlimited: unlimited };
  const { schema, url } = fromZod(route as Parameters<typeof fromZod>[0]);
  return {
    schema: {
      ...schema,
      'x-role': role ?? 'none',
      'x-route': form,
      ...(role === null ? { security: [] } : {}),
      ...(deprecated === undefined
        ? {}
        : { deprecated: true, description: `${route.schema.description}${deprecationText(deprecated)}` }),
    },
    url,
  };
};

/** The parts that all operations share are put in when someone asks for the document. */
const transformObject =
  (catalogue: CatalogueCore): SwaggerTransformObject =>
  (document) =>
    finished(named(document) as OpenApi, examples(catalogue)) as ReturnType<typeof named>;

/** OpenAPI 3.1 from the routes' own schemas, and a page of it that needs no other host. */
export const openapi = async (app: App, catalogue: CatalogueCore): Promise<void> => {
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Whitethread',
        version: API_VERSION,
        description: DESCRIPTION,
        license: { name: 'MIT', identifier: 'MIT' },
      },
      servers: [{ url: '/', description: 'This server' }],
      tags,
      security: [{ apiKey: [] }],
      components: {
        securitySchemes: { apiKey: { type: 'http', scheme: 'bearer', description: 'An API key, from POST .../keys' } },
      },
    },
    transform,
    transformObject: transformObject(catalogue),
  });
  await app.register(async (page) => {
    await page.register(helmet, { contentSecurityPolicy: false });
    await page.register(swaggerUi, {
      routePrefix: '/docs',
      staticCSP: true,
      transformStaticCSP: asCalled,
      uiConfig: { docExpansion: 'none', deepLinking: true },
      theme: { title: 'Whitethread', css: [{ filename: 'page.css', content: PAGE_CSS }] },
    });
  });
};
