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

/** The same at the foot of a text. */
export const creditText = (credits: Credits): string =>
  credits
    .map(
      ({ credit, licence, fetchedAt, stale }) =>
        `\n\nWeather: ${credit} (${licence})${stale ? `, the last that could be had, of ${fetchedAt}` : ''}`,
    )
    .join('');

/** JSON of an object with the credits put in as its last member; the object is not parsed for it. */
export const withCredits = (json: Uint8Array, credits: Credits): Buffer =>
  Buffer.concat([json.subarray(0, json.lastIndexOf(125)), Buffer.from(`,"credits":${JSON.stringify(credits)}}`)]);
