import type { FastifyRequest } from 'fastify';
import type { Created, Entry, Row } from '../store/contract.ts';
import { mayGoOn } from '../store/pages.ts';
import { refusal } from './errors.ts';
import { type Reply, sendRaw } from './raw.ts';

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

/** The strong ETag of a version. As CSV it has other bytes, and so a tag of its own, which names the version as well. */
export const tagOf = (version: number, isCsv = false): string => `"${version}${isCsv ? '-csv' : ''}"`;

/** RFC 9110, 13.1.2: whether the caller has what would be sent. */
export const hasIt = (header: string | undefined, tag: string): boolean =>
  header?.split(',').some((part) => ['*', tag, `W/${tag}`].includes(part.trim())) === true;

/** Sends JSON with its ETag, or 304 where the caller has it. */
export const sendTagged = (request: FastifyRequest, reply: Reply, tag: string, text: string): never => {
  reply.header('etag', tag);
  if (hasIt(request.headers['if-none-match'], tag)) return reply.code(304 as never).send(undefined as never) as never;
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

/**
 * The version that a change is meant for, from If-Match.
 * @throws WhitethreadError 'version-needed' without it, 'invalid-input' where it is no ETag of ours
 */
export const versionMeant = ({ headers }: FastifyRequest): number => {
  const given = headers['if-match'];
  if (given === undefined)
    throw refusal('version-needed', 'header If-Match', 'nothing', 'the ETag that came with the record');
  const version = /^"(\d{1,15})(?:-csv)?"$/.exec(given)?.[1];
  if (version === undefined)
    throw refusal('invalid-input', 'header If-Match', given.slice(0, 80), 'one strong ETag, such as "3"');
  return Number(version);
};

/**
 * The version that a change is meant for that needs none: of If-Match, 0 for what is to be new (If-None-Match: *), null
 * for whatever there is.
 * @throws WhitethreadError 'invalid-input' for another condition
 */
export const versionMeantIfAny = (request: FastifyRequest): number | null => {
  const { 'if-match': match, 'if-none-match': noneMatch } = request.headers;
  if (noneMatch === undefined) return match === undefined ? null : versionMeant(request);
  if (noneMatch.trim() === '*' && match === undefined) return 0;
  const given = noneMatch.slice(0, 80) + (match === undefined ? '' : ' beside If-Match');
  throw refusal('invalid-input', 'header If-None-Match', given, '* alone, for what is not there yet');
};
