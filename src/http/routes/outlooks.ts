import { Readable } from 'node:stream';
import { parsed } from '../../core/base/schema.ts';
import type { FieldInput } from '../../core/outlook/schema.ts';
import type { Credited } from '../../service/contract.ts';
import { jsonOf } from '../../service/json.ts';
import { sourcedRequest } from '../../service/schema.ts';
import { sourcedField } from '../../service/sourced.ts';
import { batchAnswer, batchLine, sentOutlook, text } from '../answers/schema.ts';
import { answers, inOrder, lines } from '../batch.ts';
import { textBodies } from '../bodies.ts';
import type { App, HttpDeps } from '../contract.ts';
import { creditHeaders, withCredits } from '../credits.ts';
import { refusal } from '../errors.ts';
import { formats, toldTypes } from '../forms.ts';
import { inTime } from '../inTime.ts';
import { assertShallow, fieldTexts } from '../json.ts';
import { givenBackFrom } from '../lent.ts';
import { chosenPacking, chosenType, varyBy } from '../negotiation.ts';
import { sendRaw } from '../raw.ts';
import { batchRequest, sentField, unitsQuery } from '../schema.ts';
import { bodyLater } from '../validation.ts';

const MOST_FIELDS = 100;
const batchTypes = ['application/json', 'application/x-ndjson'] as const;
const tags = ['outlooks'];

/** A member of this name; within a text its quotes would be escaped. */
const NAMES_SOURCES = /"weatherFrom"\s*:/;
/** Such a field is read on this thread: without its weather it is short. */
const MOST_SOURCED = 64 * 1024;
/** Each may be a question to a weather service. */
const MOST_SOURCED_FIELDS = 10;

/** The field of a body that names sources in the place of its weather, with their weather; null where it has its own. */
const fetched = async (
  { sources, sentSources = sources }: HttpDeps,
  body: string,
): Promise<Credited<FieldInput> | null> => {
  if (!NAMES_SOURCES.test(body)) return null;
  if (body.length > MOST_SOURCED)
    throw refusal('body-too-large', 'body', `a field of ${body.length} characters`, `${MOST_SOURCED} with weatherFrom`);
  const field = parsed(sourcedRequest, jsonOf(body), '');
  return inTime(sourcedField({ sources: sentSources }, field));
};

/** A whole field comes in, its outlook goes out, nothing is kept. Bodies stay text until they are in the worker. */
export const outlookRoutes = async (app: App, deps: HttpDeps): Promise<void> => {
  const { compute } = deps;
  textBodies(app, ['application/json']);

  app.post(
    '/v1/outlooks',
    {
      config: { role: 'reader', gives: toldTypes, refuses: [422], sends: ['Link', 'Warning'] },
      validatorCompiler: bodyLater,
      schema: {
        operationId: 'outlook',
        summary: 'Outlook of one field',
        description:
          'Soil, weeds, crop and pass windows of a field that is sent whole, with its daily weather, or with `weatherFrom`: ' +
          'the sources that this server is to ask for it. CSV: soil and emergence, a row a day; windows are in JSON and text. Text: for people.',
        tags,
        body: sentField,
        querystring: unitsQuery,
        response: {
          200: {
            description: 'The outlook',
            content: {
              'application/json': { schema: sentOutlook },
              'text/csv': { schema: text },
              'text/plain': { schema: text },
            },
          },
        },
      },
    },
    async ({ bodyText, query, headers }, reply) => {
      const type = chosenType(headers.accept, toldTypes);
      assertShallow(bodyText);
      varyBy(reply, 'accept', 'accept-encoding');
      const form = { format: formats[type], units: query.units };
      const own = await fetched(deps, bodyText);
      if (own !== null) {
        const bytes = await compute.outlook(own.answer, form);
        creditHeaders(reply, own.credits);
        return sendRaw(reply, type, withCredits({ format: form.format, bytes }, own.credits, own.notes));
      }
      const packing = chosenPacking(headers['accept-encoding']);
      const bytes = await compute.outlook(bodyText, { ...form, packing });
      // The worker has packed it, in one go and away from this thread.
      if (packing !== null) reply.header('content-encoding', packing);
      givenBackFrom(reply.raw, bytes);
      return sendRaw(reply, type, bytes);
    },
  );

  app.post(
    '/v1/outlook-batches',
    {
      config: { role: 'reader', gives: batchTypes, refuses: [422] },
      validatorCompiler: bodyLater,
      bodyLimit: 8 * 1024 * 1024,
      schema: {
        operationId: 'outlookBatch',
        summary: 'Outlooks of up to 100 fields',
        description:
          'JSON gives the answers in order; NDJSON a line for each field as soon as it is ready, with its index. A field ' +
          'that is wrong has problems in the place of its outlook. At most ten may name sources of their weather. To hang up ' +
          'stops the rest.',
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
      const fields = fieldTexts(bodyText, MOST_FIELDS);
      if (fields.length === 0 || fields.length > MOST_FIELDS)
        throw refusal(
          'invalid-input',
          'fields',
          fields.length === 0 ? 'no fields' : `more than ${MOST_FIELDS} fields`,
          `1 to ${MOST_FIELDS} fields`,
        );
      const sourced = fields.filter((field) => NAMES_SOURCES.test(field)).length;
      if (sourced > MOST_SOURCED_FIELDS)
        throw refusal(
          'invalid-input',
          'fields',
          `${sourced} with weatherFrom`,
          `at most ${MOST_SOURCED_FIELDS} of them`,
        );
      const form = { format: 'json', units: query.units } as const;
      const outlookOf = async (field: string): Promise<Uint8Array> => {
        const own = await fetched(deps, field);
        const bytes = await compute.outlook(own?.answer ?? field, form);
        return own === null ? bytes : withCredits({ format: 'json', bytes }, own.credits, own.notes);
      };
      const parts = answers(fields, outlookOf, id);
      const body = type === 'application/json' ? inOrder(parts) : lines(parts);
      return sendRaw(reply, type, Readable.from(body));
    },
  );
};
