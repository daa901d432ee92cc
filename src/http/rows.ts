import type { FastifyRequest } from 'fastify';
import type { Created, Entry, Row } from '../store/contract.ts';
import { mayGoOn } from '../store/pages.ts';
import { type Reply, sendRaw } from './raw.ts';
import { heldTag, tagOf } from './tags.ts';

const instant = (ms: number): string => new Date(ms).toISOString();

const written = ({ id, version, createdAtMs, changedAtMs, text }: Row): string =>
  `{"id":"${id}","version":${version},"createdAt":"${instant(createdAtMs)}","changedAt":"${instant(changedAtMs)}","data":${text}}`;

/** Rows that the store remembers come again as the same object. */
const texts = new WeakMap<Row, string>();

/** A record as JSON. What is stored goes out as it is: it was checked when it came in. */
export const rowText = (row: Row): string => {
  const known = texts.get(row) ?? written(row);
  texts.set(row, known);
  return known;
};

/** A page of texts, and the cursor of the next one where there may be one. */
export const listText = (texts: readonly string[], next: string | null): string =>
  `{"items":[${texts.join(',')}],"next":${JSON.stringify(next)}}`;

/** A page of records. Where one may follow there is a next, which may turn out to be empty. */
export const rowsText = (rows: readonly Row[], limit: number): string =>
  listText(rows.map(rowText), mayGoOn(rows, limit) ? (rows.at(-1)?.id ?? null) : null);

const entryText = ({ seq, kind, id, version, action, keyId, atMs, text }: Entry): string =>
  `${JSON.stringify({ seq, kind, id, version, action, keyId, at: instant(atMs) }).slice(0, -1)},"data":${text}}`;

/** A page of a history; its cursor is the number of its last entry. */
export const historyText = (entries: readonly Entry[], limit: number): string =>
  listText(entries.map(entryText), mayGoOn(entries, limit) ? String(entries.at(-1)?.seq ?? 0) : null);

/** Sends JSON with its ETag, or 304 where the caller has it. */
export const sendTagged = (request: FastifyRequest, reply: Reply, tag: string, text: string): never => {
  const held = heldTag(request, tag);
  reply.header('etag', held ?? tag);
  if (held !== null) return reply.code(304 as never).send(undefined as never) as never;
  return sendRaw(reply, 'application/json; charset=utf-8', text);
};

export const sendRow = (request: FastifyRequest, reply: Reply, row: Row): never =>
  sendTagged(request, reply, tagOf(row.version), rowText(row));

/** Sends a record that was just changed: the whole of it, whatever the caller had. */
export const sendChanged = (reply: Reply, row: Row): never => {
  reply.header('etag', tagOf(row.version));
  return sendRaw(reply, 'application/json', rowText(row));
};

/** Sends a record that was just made, or the answer to a request that came before. */
export const sendCreated = (
  request: FastifyRequest,
  reply: Reply,
  address: string,
  { row, replayed }: Created,
): never => {
  request.made = { id: row.id };
  reply.code(201 as never);
  reply.header('location', address);
  if (replayed) reply.header('idempotency-replayed', 'true');
  return sendChanged(reply, row);
};
