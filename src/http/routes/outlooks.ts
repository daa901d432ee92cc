import { Readable } from 'node:stream';
import { fieldRequest } from '../../core/outlook/schema.ts';
import { shownOutlook } from '../../service/schema.ts';
import { batchAnswer, batchLine, text } from '../answers/schema.ts';
import { answers, inOrder, lines } from '../batch.ts';
import { textBodies } from '../bodies.ts';
import type { App, HttpDeps } from '../contract.ts';
import { refusal } from '../errors.ts';
import { assertShallow, fieldTexts } from '../json.ts';
import { chosenPacking, chosenType } from '../negotiation.ts';
import { sendRaw } from '../raw.ts';
import { batchRequest, unitsQuery } from '../schema.ts';
import { validation } from '../validation.ts';

const MOST_FIELDS = 100;
const formats = { 'application/json': 'json', 'text/csv': 'csv', 'text/plain': 'text' } as const;
const outlookTypes = ['application/json', 'text/csv', 'text/plain'] as const;
const batchTypes = ['application/json', 'application/x-ndjson'] as const;
const tags = ['outlooks'];

/** The worker checks the body; here only the query is checked. */
const queryOnly: typeof validation = (route) =>
  route.httpPart === 'body' ? (data) => ({ value: data }) : validation(route);

/** A whole field comes in, its outlook goes out, nothing is kept. Bodies stay text until they are in the worker. */
export const outlookRoutes = async (app: App, { compute }: HttpDeps): Promise<void> => {
  textBodies(app, ['application/json']);

  app.post(
    '/v1/outlooks',
    {
      config: { role: 'reader', gives: outlookTypes, refuses: [422] },
      validatorCompiler: queryOnly,
      schema: {
        operationId: 'outlook',
        summary: 'Outlook of one field',
        description:
          'Soil, weeds, crop and pass windows of a field that is sent whole. CSV: a row a day. Text: for people.',
        tags,
        body: fieldRequest,
        querystring: unitsQuery,
        response: {
          200: {
            description: 'The outlook',
            content: {
              'application/json': { schema: shownOutlook },
              'text/csv': { schema: text },
              'text/plain': { schema: text },
            },
          },
        },
      },
    },
    async ({ bodyText, query, headers }, reply) => {
      const type = chosenType(headers.accept, outlookTypes);
      assertShallow(bodyText);
      const packing = chosenPacking(headers['accept-encoding']);
      const bytes = await compute.outlook(bodyText, { format: formats[type], units: query.units, packing });
      reply.header('vary', 'accept, accept-encoding');
      // The worker has packed it: as a stream on this thread it would take twice as long.
      if (packing !== null) reply.header('content-encoding', packing);
      return sendRaw(reply, type, bytes);
    },
  );

  app.post(
    '/v1/outlook-batches',
    {
      config: { role: 'reader', gives: batchTypes, refuses: [422] },
      validatorCompiler: queryOnly,
      bodyLimit: 8 * 1024 * 1024,
      schema: {
        operationId: 'outlookBatch',
        summary: 'Outlooks of up to 100 fields',
        description:
          'JSON gives the answers in order; NDJSON a line for each field as soon as it is ready, with its index. A field ' +
          'that is wrong has problems in the place of its outlook. To hang up stops the rest.',
        tags,
        body: batchRequest,
        querystring: unitsQuery,
        response: {
          200: {
            description: 'An outlook or problems for each field',
            content: { 'application/json': { schema: batchAnswer }, 'application/x-ndjson': { schema: batchLine } },
          },
        },
      },
    },
    ({ bodyText, query, headers, id }, reply) => {
      const type = chosenType(headers.accept, batchTypes);
      assertShallow(bodyText);
      const fields = fieldTexts(bodyText);
      if (fields.length > MOST_FIELDS)
        throw refusal('invalid-input', 'fields', `${fields.length} fields`, `1 to ${MOST_FIELDS} fields`);
      const parts = answers(fields, (field) => compute.outlook(field, { format: 'json', units: query.units }), id);
      const body = type === 'application/json' ? inOrder(parts) : lines(parts);
      return sendRaw(reply, type, Readable.from(body));
    },
  );
};
