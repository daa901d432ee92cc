import type { App } from './contract.ts';
import { refusal } from './errors.ts';
import { type Packing, packings } from './packing.ts';

type Range = { readonly type: string; readonly quality: number };

const ranges = (accept: string): Range[] =>
  accept.split(',').map((part) => {
    const [type = '', ...parameters] = part.split(';').map((piece) => piece.trim().toLowerCase());
    const quality = parameters.find((parameter) => parameter.startsWith('q='))?.slice(2) ?? '1';
    return { type, quality: Number(quality) || 0 };
  });

/** RFC 9110, 12.5.1: the most specific range that covers a type decides. */
const qualityOf = (type: string, accepted: readonly Range[]): number => {
  const covers = [type, `${type.split('/')[0]}/*`, '*/*'];
  for (const cover of covers) {
    const range = accepted.find((candidate) => candidate.type === cover);
    if (range !== undefined) return range.quality;
  }
  return 0;
};

/**
 * The offered type that the caller likes best; of equals the first offered.
 * @param accept the header; without it, or where it is empty, everything is welcome
 * @throws WhitethreadError 'not-acceptable'
 * @example chosenType('text/csv, text/*;q=0.1', ['text/plain', 'text/csv']) // 'text/csv'
 */
export const chosenType = <T extends string>(accept: string | undefined, offered: readonly T[]): T => {
  if (accept === undefined || accept.trim() === '' || accept === '*/*') return offered[0] as T;
  const accepted = ranges(accept);
  const [best] = offered
    .map((type) => ({ type, quality: qualityOf(type, accepted) }))
    .sort((a, b) => b.quality - a.quality);
  if (best === undefined || best.quality === 0)
    throw refusal('not-acceptable', 'header Accept', accept.slice(0, 200), offered.join(', '));
  return best.type;
};

/**
 * How an answer may be packed: as the caller likes best, of equals the first of `packings`; null for not at all.
 * @param accept the header Accept-Encoding; without it nothing is packed
 * @example chosenPacking('gzip, br;q=0.5') // 'gzip'
 */
export const chosenPacking = (accept: string | undefined): Packing | null => {
  if (accept === undefined) return null;
  const accepted = ranges(accept);
  const qualities = packings.map((packing) => {
    const range = accepted.find(({ type }) => type === packing) ?? accepted.find(({ type }) => type === '*');
    return { packing, quality: range?.quality ?? 0 };
  });
  const [best] = qualities.sort((a, b) => b.quality - a.quality);
  return best === undefined || best.quality === 0 ? null : best.packing;
};

const JSON_ONLY = ['application/json'] as const;

/** Refuses what the route cannot give before anything is done for it: 406. */
export const negotiation = (app: App): void => {
  app.addHook('onRequest', (request, _, done) => {
    const { accept } = request.headers;
    if (accept !== undefined && accept !== '*/*' && request.routeOptions.config.role !== undefined)
      chosenType(accept, request.routeOptions.config.gives ?? JSON_ONLY);
    done();
  });
};
