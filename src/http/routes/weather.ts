import { dailyWeather } from '../../core/weather/schema.ts';
import { keepWeather, readWeather } from '../../service/keptWeather.ts';
import { asker } from '../access.ts';
import { nothing, text, weatherKept } from '../answers/schema.ts';
import { textBodies } from '../bodies.ts';
import type { App, HttpDeps } from '../contract.ts';
import { formats, isAsItIs } from '../forms.ts';
import { assertShallow } from '../json.ts';
import { chosenType, varyBy } from '../negotiation.ts';
import { sendRaw } from '../raw.ts';
import { mayMatchHeaders, recordParams, unitsQuery } from '../schema.ts';
import { heldTag, tagOf, versionMeantIfAny } from '../tags.ts';
import { bodyLater } from '../validation.ts';

const URL = '/v1/farms/:farmId/stations/:id/weather';
const types = ['application/json', 'text/csv'] as const;
const tags = ['weather'];
/** Sixty years of days as columns are 3 MB. */
const bodyLimit = 8 * 1024 * 1024;

const writing = (app: App, deps: HttpDeps, method: 'PUT' | 'PATCH', summary: string, description: string): void => {
  app.route({
    method,
    url: URL,
    bodyLimit,
    validatorCompiler: bodyLater,
    config: { role: 'planner', refuses: [422], takes: ['text/csv'] },
    schema: {
      operationId: method === 'PUT' ? 'replaceWeather' : 'addWeather',
      summary,
      description: `${description} Columns, or CSV whose header names the units. With If-Match only in the place of that version, with If-None-Match: * only where there is none. Where it changes nothing, the version stays.`,
      tags,
      params: recordParams,
      headers: mayMatchHeaders,
      body: dailyWeather,
      response: { 200: weatherKept.describe('What was odd about the whole series') },
    },
    handler: async (request, reply) => {
      const { farmId, id } = request.params;
      const { bodyText: text, headers } = request;
      const type = /^text\/csv/i.test(headers['content-type'] ?? '') ? 'csv' : 'json';
      if (type === 'json') assertShallow(text);
      const how = {
        add: method === 'PATCH',
        version: versionMeantIfAny(request),
      };
      const { row, findings } = await keepWeather(deps, asker(request), farmId, id, { type, text }, how);
      reply.header('etag', tagOf(row.version));
      return { version: row.version, findings: [...findings] };
    },
  });
};

/** Daily weather of a station that is posted, as columns or CSV. */
export const weatherRoutes = (app: App, deps: HttpDeps): void => {
  textBodies(app, ['application/json', 'text/csv']);
  writing(app, deps, 'PUT', 'Replace the weather of a station', 'The series takes the place of what was there.');
  writing(
    app,
    deps,
    'PATCH',
    'Add days to the weather of a station',
    'Values that are sent go over those that are there; null, or a blank cell, leaves what is there.',
  );
  app.get(
    URL,
    {
      config: { role: 'reader', gives: types },
      schema: {
        operationId: 'readWeather',
        summary: 'Read the weather that was posted for a station',
        description:
          'As columns, or as CSV of highest and lowest temperature and rain. Columns in US units are to be read only: those that are posted are metric.',
        tags,
        params: recordParams,
        querystring: unitsQuery,
        response: {
          200: {
            description: 'The series, with its ETag',
            content: { 'application/json': { schema: dailyWeather }, 'text/csv': { schema: text } },
          },
          304: nothing.describe('Not changed'),
        },
      },
    },
    async (request, reply) => {
      const { params, query, headers } = request;
      const type = chosenType(headers.accept, types);
      const row = await readWeather(deps, params.farmId, params.id);
      const isCsv = type === 'text/csv';
      const tag = tagOf(row.version, isCsv);
      const held = heldTag(request, tag);
      varyBy(reply, 'accept');
      reply.header('etag', held ?? tag);
      if (held !== null) return reply.code(304).send(undefined);
      const form = { format: formats[type], units: query.units };
      return sendRaw(reply, type, isAsItIs(form) ? row.text : await deps.compute.told('weather', row.text, form));
    },
  );
};
