import type { FastifyRequest } from 'fastify';
import { isWhitethreadError } from '../../core/base/errors.ts';
import { refuseForm } from '../../service/misshapen.ts';
import { type RecordKind, recordKinds } from '../../service/records/schema.ts';
import { changeRecord, createRecord, listRecords, readRecord, removeRecord } from '../../service/records.ts';
import { asker } from '../access.ts';
import { listOf, nothing, recordOf } from '../answers/schema.ts';
import type { App, HttpDeps } from '../contract.ts';
import { onceOf } from '../once.ts';
import { sendRaw } from '../raw.ts';
import { rowsText, sendChanged, sendCreated, sendRow } from '../rows.ts';
import { childQuery, farmParams, ifMatchHeaders, onceHeaders, pageQuery, recordParams } from '../schema.ts';
import { versionMeant } from '../tags.ts';
import { wordsOf } from '../words.ts';

const tags = ['records'];

/** A body of another form comes this far, so that what it names wrongly is told together with its form. */
const formChecked =
  (deps: HttpDeps, kind: RecordKind) =>
  async ({ validationError: fault, params, body }: FastifyRequest): Promise<void> => {
    if (fault === undefined) return;
    if (!isWhitethreadError(fault) || fault.validationContext !== 'body') throw fault;
    const { farmId, id } = params as { readonly farmId: string; readonly id?: string };
    await refuseForm(deps, farmId, kind, body, fault.problems, id);
  };

type Place = { readonly kind: RecordKind; readonly list: string; readonly item: string };

const createRoute = (app: App, deps: HttpDeps, { kind, list }: Place): void => {
  const { schema, writer, path } = recordKinds[kind];
  app.post(
    list,
    {
      config: { role: writer, refuses: [422] },
      attachValidation: true,
      preHandler: formChecked(deps, kind),
      schema: {
        operationId: `create${wordsOf[kind].one}`,
        summary: `Add a record to ${path}`,
        description: wordsOf[kind].what,
        tags,
        params: farmParams,
        headers: onceHeaders,
        body: schema,
        response: { 201: recordOf(schema).describe('As it is kept, with its ETag and its address in Location') },
      },
    },
    async (request, reply) => {
      const { farmId } = request.params;
      const created = await createRecord(deps, asker(request), farmId, kind, request.body, onceOf(request));
      return sendCreated(request, reply, `/v1/farms/${farmId}/${path}/${created.row.id}`, created);
    },
  );
};

const listRoute = (app: App, deps: HttpDeps, { kind, list }: Place): void => {
  const { schema, path } = recordKinds[kind];
  app.get(
    list,
    {
      config: { role: 'reader', isTimeless: true },
      schema: {
        operationId: `list${wordsOf[kind].many}`,
        summary: `List ${path}`,
        description: `${wordsOf[kind].what} Oldest first, a page at a time.`,
        tags,
        params: farmParams,
        querystring: 'fieldId' in schema.shape ? childQuery : pageQuery,
        response: { 200: listOf(recordOf(schema)).describe('A page') },
      },
    },
    async ({ params, query }, reply) => {
      const { cursor = null, limit } = query;
      const fieldId = 'fieldId' in query ? String(query.fieldId) : undefined;
      const rows = await listRecords(deps, params.farmId, kind, { after: cursor, limit }, fieldId);
      return sendRaw(reply, 'application/json', rowsText(rows, limit));
    },
  );
};

const readRoute = (app: App, deps: HttpDeps, { kind, item }: Place): void => {
  const { schema, path } = recordKinds[kind];
  app.get(
    item,
    {
      config: { role: 'reader', isTimeless: true },
      schema: {
        operationId: `read${wordsOf[kind].one}`,
        summary: `Read a record of ${path}`,
        description: `${wordsOf[kind].what} With If-None-Match it is sent only if it changed.`,
        tags,
        params: recordParams,
        response: { 200: recordOf(schema).describe('The record, with its ETag'), 304: nothing.describe('Not changed') },
      },
    },
    async (request, reply) => {
      const { farmId, id } = request.params;
      return sendRow(request, reply, await readRecord(deps, farmId, kind, id));
    },
  );
};

const changeRoute = (app: App, deps: HttpDeps, { kind, item }: Place): void => {
  const { schema, writer, path } = recordKinds[kind];
  app.put(
    item,
    {
      config: { role: writer, refuses: [422, 428] },
      attachValidation: true,
      preHandler: formChecked(deps, kind),
      schema: {
        operationId: `change${wordsOf[kind].one}`,
        summary: `Replace a record of ${path}`,
        description: 'The whole record is sent. If-Match names the version it is meant for, so that no change is lost.',
        tags,
        params: recordParams,
        headers: ifMatchHeaders,
        body: schema,
        response: { 200: recordOf(schema).describe('As it is kept, with its new ETag') },
      },
    },
    async (request, reply) => {
      const { farmId, id } = request.params;
      const version = versionMeant(request);
      return sendChanged(reply, await changeRecord(deps, asker(request), farmId, kind, id, version, request.body));
    },
  );
};

const USED = 'Refused while fields have their weather from it. ';

const removeRoute = (app: App, deps: HttpDeps, { kind, item }: Place): void => {
  const { writer, path } = recordKinds[kind];
  app.delete(
    item,
    {
      config: { role: writer, refuses: kind === 'station' ? [409, 428] : [428] },
      schema: {
        operationId: `remove${wordsOf[kind].one}`,
        summary: `Remove a record of ${path}`,
        description: `Its history stays, and so does what names it. ${kind === 'station' ? USED : ''}If-Match names the version that is meant.`,
        tags,
        params: recordParams,
        headers: ifMatchHeaders,
        response: { 204: nothing.describe('Removed') },
      },
    },
    async (request, reply) => {
      const { farmId, id } = request.params;
      await removeRecord(deps, asker(request), farmId, kind, id, versionMeant(request));
      return reply.code(204).send(undefined);
    },
  );
};

/** Five routes for every kind of record, from its schema and the role that may write it. */
export const recordRoutes = (app: App, deps: HttpDeps): void => {
  for (const kind of Object.keys(recordKinds) as RecordKind[]) {
    const list = `/v1/farms/:farmId/${recordKinds[kind].path}`;
    const place = { kind, list, item: `${list}/:id` };
    for (const route of [createRoute, listRoute, readRoute, changeRoute, removeRoute]) route(app, deps, place);
  }
};
