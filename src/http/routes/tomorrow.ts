import { passRecord } from '../../service/passRecord.ts';
import { readFarm } from '../../service/records.ts';
import { storedField, tomorrowOfFarm } from '../../service/tomorrow.ts';
import { asker } from '../access.ts';
import { creditedOutlook, creditedTomorrow, passRecordAnswer, text } from '../answers/schema.ts';
import type { App, HttpDeps } from '../contract.ts';
import { creditHeaders, withCredits } from '../credits.ts';
import { formats, isAsItIs, toldTypes } from '../forms.ts';
import { inTime } from '../inTime.ts';
import { chosenType } from '../negotiation.ts';
import { sendRaw } from '../raw.ts';
import { answerQuery, farmParams, outlookQuery, recordParams, spanQuery } from '../schema.ts';

const recordTypes = ['text/csv', 'application/json'] as const;
const asText = { 'text/csv': { schema: text }, 'text/plain': { schema: text } };
const tags = ['tomorrow'];
const credited = ['Link', 'Warning'] as const;

const tomorrowRoute = (app: App, deps: HttpDeps): void => {
  app.get(
    '/v1/farms/:farmId/tomorrow',
    {
      config: { role: 'reader', gives: toldTypes, refuses: [422], sends: credited },
      schema: {
        operationId: 'tomorrow',
        summary: 'What every field of a farm can do',
        description:
          'Open windows with their best hours, reasons where closed, for a day in the farm’s own time zone and the days after ' +
          'it. A field that nothing can be told of is listed with its problems and does not sink the others.',
        tags,
        params: farmParams,
        querystring: answerQuery,
        response: {
          200: {
            description: 'The farm’s days',
            content: { 'application/json': { schema: creditedTomorrow }, ...asText },
          },
        },
      },
    },
    async (request, reply) => {
      const { farmId } = request.params;
      const type = chosenType(request.headers.accept, toldTypes);
      const { answer, credits } = await inTime(tomorrowOfFarm(deps, asker(request), farmId, request.query));
      const units = request.query.units ?? (await readFarm(deps, farmId)).units;
      creditHeaders(reply, credits);
      const whole = JSON.stringify({ ...answer, credits });
      const form = { format: formats[type], units };
      return sendRaw(reply, type, isAsItIs(form) ? whole : await deps.compute.told('tomorrow', whole, form));
    },
  );
};

const outlookRoute = (app: App, deps: HttpDeps): void => {
  app.get(
    '/v1/farms/:farmId/fields/:id/outlook',
    {
      config: { role: 'reader', gives: toldTypes, refuses: [422], sends: credited },
      schema: {
        operationId: 'fieldOutlook',
        summary: 'The whole outlook of a stored field',
        description: 'Soil, weeds, crop and windows, from the field’s records and its station’s weather.',
        tags,
        params: recordParams,
        querystring: outlookQuery,
        response: {
          200: { description: 'The outlook', content: { 'application/json': { schema: creditedOutlook }, ...asText } },
        },
      },
    },
    async (request, reply) => {
      const { farmId, id } = request.params;
      const type = chosenType(request.headers.accept, toldTypes);
      const { answer, credits, notes } = await inTime(storedField(deps, asker(request), farmId, id, request.query));
      const { name, invented = false, units: usual } = await readFarm(deps, farmId);
      const { units = usual } = request.query;
      const form = { format: formats[type], units, farm: { name, invented } };
      const bytes = await deps.compute.outlook(answer, form);
      creditHeaders(reply, credits);
      return sendRaw(reply, type, withCredits({ format: form.format, bytes }, credits, notes));
    },
  );
};

const passRecordRoute = (app: App, deps: HttpDeps): void => {
  app.get(
    '/v1/farms/:farmId/pass-record',
    {
      config: { role: 'reader', gives: recordTypes },
      schema: {
        operationId: 'passRecord',
        summary: 'Every pass that was made, for the certifier',
        description:
          'Field, date, operation, implement, operator, weather, weeds and crop stage. CSV, or JSON on request.',
        tags,
        params: farmParams,
        querystring: spanQuery,
        response: {
          200: {
            description: 'A row a pass, oldest first',
            content: { 'text/csv': { schema: text }, 'application/json': { schema: passRecordAnswer } },
          },
        },
      },
    },
    async (request, reply) => {
      const type = chosenType(request.headers.accept, recordTypes);
      const { farmId } = request.params;
      const items = await inTime(passRecord(deps, asker(request), farmId, request.query));
      const units = request.query.units ?? (await readFarm(deps, farmId)).units;
      const whole = JSON.stringify({ items });
      const form = { format: formats[type], units };
      return sendRaw(reply, type, isAsItIs(form) ? whole : await deps.compute.told('passes', whole, form));
    },
  );
};

/** What a stored farm is asked for: its tomorrow, a field's outlook, the record of its passes. */
export const tomorrowRoutes = (app: App, deps: HttpDeps): void => {
  tomorrowRoute(app, deps);
  outlookRoute(app, deps);
  passRecordRoute(app, deps);
};
