import { farm } from '../../service/records/schema.ts';
import { changeFarm, createFarm, farmHistory, listFarms, readFarmRow, removeFarm } from '../../service/records.ts';
import { asker } from '../access.ts';
import { historyEntry, listOf, nothing, recordOf } from '../answers/schema.ts';
import type { App, HttpDeps } from '../contract.ts';
import { onceOf } from '../once.ts';
import { sendRaw } from '../raw.ts';
import { historyText, rowsText, sendChanged, sendCreated, sendRow } from '../rows.ts';
import { farmParams, historyQuery, ifMatchHeaders, onceHeaders, pageQuery } from '../schema.ts';
import { versionMeant } from '../tags.ts';

const tags = ['farms'];
const shown = recordOf(farm);

const listing = (app: App, deps: HttpDeps): void => {
  app.post(
    '/v1/farms',
    {
      config: { role: 'operator' },
      schema: {
        operationId: 'createFarm',
        summary: 'Add a farm',
        description: 'A farm has its own keys and sees nothing of other farms. Its time zone decides what tomorrow is.',
        tags,
        headers: onceHeaders,
        body: farm,
        response: { 201: shown.describe('As it is kept, with its ETag and its address in Location') },
      },
    },
    async (request, reply) => {
      const created = await createFarm(deps, asker(request), request.body, onceOf(request));
      return sendCreated(request, reply, `/v1/farms/${created.row.id}`, created);
    },
  );

  app.get(
    '/v1/farms',
    {
      config: { role: 'reader', isTimeless: true },
      schema: {
        operationId: 'listFarms',
        summary: 'List farms',
        description: 'All farms for an operator, the key’s own for everyone else.',
        tags,
        querystring: pageQuery,
        response: { 200: listOf(shown).describe('A page') },
      },
    },
    async (request, reply) => {
      const { cursor = null, limit } = request.query;
      const rows = await listFarms(deps, asker(request), { after: cursor, limit });
      return sendRaw(reply, 'application/json', rowsText(rows, limit));
    },
  );
};

const single = (app: App, deps: HttpDeps): void => {
  const url = '/v1/farms/:farmId';
  app.get(
    url,
    {
      config: { role: 'reader', isTimeless: true },
      schema: {
        operationId: 'readFarm',
        summary: 'Read a farm',
        description: 'With If-None-Match it is sent only if it changed.',
        tags,
        params: farmParams,
        response: { 200: shown.describe('The farm, with its ETag'), 304: nothing.describe('Not changed') },
      },
    },
    async (request, reply) => sendRow(request, reply, await readFarmRow(deps, request.params.farmId)),
  );

  app.put(
    url,
    {
      config: { role: 'keeper', refuses: [428] },
      schema: {
        operationId: 'changeFarm',
        summary: 'Replace a farm’s own record',
        description: 'If-Match names the version it is meant for, so that no change is lost.',
        tags,
        params: farmParams,
        headers: ifMatchHeaders,
        body: farm,
        response: { 200: shown.describe('As it is kept, with its new ETag') },
      },
    },
    async (request, reply) => {
      const version = versionMeant(request);
      return sendChanged(reply, await changeFarm(deps, asker(request), request.params.farmId, version, request.body));
    },
  );

  app.delete(
    url,
    {
      config: { role: 'operator', refuses: [428] },
      schema: {
        operationId: 'removeFarm',
        summary: 'Remove a farm and everything it keeps',
        description: 'If-Match names the version that is meant. Only a backup brings it back.',
        tags,
        params: farmParams,
        headers: ifMatchHeaders,
        response: { 204: nothing.describe('Removed') },
      },
    },
    async (request, reply) => {
      await removeFarm(deps, asker(request), request.params.farmId, versionMeant(request));
      return reply.code(204).send(undefined);
    },
  );
};

/** Farms: made and removed by an operator, changed by their keepers. */
export const farmRoutes = (app: App, deps: HttpDeps): void => {
  listing(app, deps);
  single(app, deps);
  app.get(
    '/v1/farms/:farmId/history',
    {
      config: { role: 'reader', isTimeless: true },
      schema: {
        operationId: 'history',
        summary: 'Who changed what when',
        description: 'Every making, change and removal with the record as it was from then on, oldest first.',
        tags,
        params: farmParams,
        querystring: historyQuery,
        response: { 200: listOf(historyEntry).describe('A page') },
      },
    },
    async ({ params, query }, reply) => {
      const entries = await farmHistory(deps, params.farmId, query as Parameters<typeof farmHistory>[2]);
      return sendRaw(reply, 'application/json', historyText(entries, query.limit));
    },
  );
};
