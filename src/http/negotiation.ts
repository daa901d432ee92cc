import type { FastifyReply } from 'fastify';
import type { App } from './contract.ts';
import { refusal } from './errors.ts';
import { type Packing, packingNamed, packings } from './packing.ts';

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
 * The packings that the caller takes, the one that he likes best first, of equals as in `packings`.
 * @param accept the header Accept-Encoding; without it every packing is taken, RFC 9110, 12.5.3
 */
export const packingsTaken = (accept: string | undefined): readonly Packing[] => {
  if (accept === undefined) return packings;
  const accepted = ranges(accept);
  return packings
    .map((packing) => {
      const range =
        accepted.find(({ type }) => packingNamed(type) === packing) ?? accepted.find(({ type }) => type === '*');
      return { packing, quality: range?.quality ?? 0 };
    })
    .filter(({ quality }) => quality > 0)
    .sort((a, b) => b.quality - a.quality)
    .map(({ packing }) => packing);
};

/**
 * How an answer is packed: as the caller likes best; null for not at all, as for who does not say that he can unpack.
 * @example chosenPacking('gzip, br;q=0.5') // 'gzip'
 */
export const chosenPacking = (accept: string | undefined): Packing | null =>
  accept === undefined ? null : (packingsTaken(accept)[0] ?? null);

/** Says that an answer goes by these fields of the request, beside those that were said before. */
export const varyBy = (reply: Pick<FastifyReply, 'getHeader' | 'header'>, ...names: readonly string[]): void => {
  const said = [reply.getHeader('vary') ?? []].flat();
  const known = said.join(',').toLowerCase().split(/[ ,]+/);
  reply.header('vary', [...said, ...names.filter((name) => !known.includes(name))].join(', '));
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
