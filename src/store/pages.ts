import { type Expression, type RawBuilder, sql } from 'kysely';

/** A page ends with the row that brings its texts to so many bytes: a text may be one of megabytes, and a page has many. */
export const PAGE_BYTES = 4 * 1024 * 1024;

/** How long the text of a row is; neither database reads the text for it. */
export const textBytes = sql<number>`coalesce(octet_length(text), 0)`.as('bytes');

/**
 * Places of the rows of a page, as far as the bytes go.
 * @param asked `place` and `bytes` of the rows that are asked for
 */
export const placesWithin = <P>(asked: Expression<{ place: P; bytes: number }>): RawBuilder<P> =>
  sql<P>`(select place from (select place, sum(bytes) over (order by place) - bytes as above from ${asked} as asked) as summed where above < ${PAGE_BYTES})`;

/** Whether a page was ended by a bound of it, so that another one may follow; it may turn out to be empty. */
export const mayGoOn = (rows: readonly { readonly text: string | null }[], limit: number): boolean =>
  rows.length >= limit || rows.reduce((sum, { text }) => sum + Buffer.byteLength(text ?? ''), 0) >= PAGE_BYTES;
