import type { Credit } from '../service/contract.ts';
import type { Reply } from './raw.ts';

type Credits = readonly Credit[];

const ascii = (text: string): string => text.replace(/[^\x20-\x7e]|["\\]/g, ' ');

/** Says in the header whose weather the answer rests on (RFC 8288), whatever its type; a stale part says so, and of when it is. */
export const creditHeaders = (reply: Pick<Reply, 'header'>, credits: Credits): void => {
  if (credits.length === 0) return;
  const links = credits.map(
    ({ url, credit, licence }) => `<${url}>; rel="license"; title="${ascii(`${credit} ${licence}`)}"`,
  );
  reply.header('link', links.join(', '));
  const stale = credits.filter((credit) => credit.stale).map(({ source, fetchedAt }) => `${source} of ${fetchedAt}`);
  if (stale.length > 0) reply.header('warning', `110 - "stale weather: ${ascii(stale.join(', '))}"`);
};

/** What stands at the foot of a text: each behind an empty line. */
const footText = (lines: readonly string[]): string => lines.map((line) => `\n${line}\n`).join('');

/** The same at the foot of a text. */
export const creditText = (credits: Credits): string =>
  footText(
    credits.map(
      ({ credit, licence, fetchedAt, stale }) =>
        `Weather: ${credit} (${licence})${stale ? `, the last that could be had, of ${fetchedAt}` : ''}`,
    ),
  );

type Outlooks = { readonly format: 'json' | 'csv' | 'text'; readonly bytes: Uint8Array };

/**
 * An outlook with whose weather it rests on, and what is missing of that: as the last members of its JSON, which is not
 * parsed for it, or at the foot of a text. A table of CSV has no place for it.
 */
export const withCredits = ({ format, bytes }: Outlooks, credits: Credits, remarks: readonly string[]): Uint8Array => {
  if (format === 'csv') return bytes;
  if (format === 'text') return Buffer.concat([bytes, Buffer.from(footText(remarks) + creditText(credits))]);
  const last = `,"credits":${JSON.stringify(credits)},"remarks":${JSON.stringify(remarks)}}`;
  return Buffer.concat([bytes.subarray(0, bytes.lastIndexOf(125)), Buffer.from(last)]);
};
