import type { FastifyRequest } from 'fastify';
import type { Meant } from '../store/meant.ts';
import { refusal } from './errors.ts';
import { packingsTaken } from './negotiation.ts';
import type { Packing } from './packing.ts';

/** The strong ETag of a version. As CSV it has other bytes, and so a tag of its own, which names the version as well. */
export const tagOf = (version: number, isCsv = false): string => `"${version}${isCsv ? '-csv' : ''}"`;

/** The tag of the same packed; a weak one, which is not ours, is good for both. */
export const packedTag = (tag: string, packing: Packing): string =>
  tag.startsWith('"') ? `${tag.slice(0, -1)}-${packing}"` : tag;

/**
 * The tag under which the caller has what may be sent, plain or in a packing that he takes; null where he has none of it.
 * RFC 9110, 13.1.2.
 */
export const heldTag = ({ headers }: FastifyRequest, tag: string): string | null => {
  const given = headers['if-none-match'];
  if (given === undefined) return null;
  const held = given.split(',').map((part) => part.trim().replace(/^W\//, ''));
  if (held.includes(tag) || held.includes('*')) return tag;
  const forms = packingsTaken(headers['accept-encoding']).map((packing) => packedTag(tag, packing));
  return forms.find((form) => held.includes(form)) ?? null;
};

/** RFC 9110, 8.8.3. */
const TAG = /(W\/)?"([\x21\x23-\x7e\x80-\xff]*)"/g;
/** What of a strong one of ours names the version, in whichever form it was sent. */
const VERSION = /^([1-9]\d{0,14})(?:-csv)?(?:-(?:br|gzip))?$/;

/**
 * The versions that a change is meant for, from If-Match. A weak tag, or one that we never gave, is none's (RFC 9110, 13.1.1).
 * @throws WhitethreadError 'version-needed' without it, 'invalid-input' where it holds anything else than ETags
 */
export const versionMeant = ({ headers }: FastifyRequest): Meant => {
  const given = headers['if-match'];
  if (given === undefined)
    throw refusal('version-needed', 'header If-Match', 'nothing', 'the ETag that came with the record');
  if (given.trim() === '*') return '*';
  const tags = [...given.matchAll(TAG)];
  if (tags.length === 0 || !/^[\s,]*$/.test(given.replace(TAG, '')))
    throw refusal('invalid-input', 'header If-Match', given.slice(0, 80), 'ETags such as "3", or *');
  return tags.flatMap(([, weak, name = '']) => {
    const version = weak === undefined ? VERSION.exec(name)?.[1] : undefined;
    return version === undefined ? [] : [Number(version)];
  });
};

/**
 * The versions that a change is meant for that needs none: of If-Match, 0 for what is to be new (If-None-Match: *), null
 * for whatever there is.
 * @throws WhitethreadError 'invalid-input' for another condition
 */
export const versionMeantIfAny = (request: FastifyRequest): Meant | null => {
  const { 'if-match': match, 'if-none-match': noneMatch } = request.headers;
  if (noneMatch === undefined) return match === undefined ? null : versionMeant(request);
  if (noneMatch.trim() === '*' && match === undefined) return 0;
  const given = noneMatch.slice(0, 80) + (match === undefined ? '' : ' beside If-Match');
  throw refusal('invalid-input', 'header If-None-Match', given, '* alone, for what is not there yet');
};
