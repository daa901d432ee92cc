/** Response or request headers as undici gives and takes them. */
export type Headers = Readonly<Record<string, string | string[] | undefined>>;

/** No answer is believed longer than this, whatever its headers say. */
const MOST_FRESH_MS = 24 * 3_600_000;

/** What is known of an answer that was kept: until when it holds, and how to ask whether it still does. */
export type Validity = {
  readonly freshUntilMs: number;
  readonly etag: string | null;
  readonly lastModified: string | null;
};

const one = (header: string | string[] | undefined): string | null => (typeof header === 'string' ? header : null);

const freshMs = (headers: Headers, nowMs: number, usualMs: number): number => {
  const control = one(headers['cache-control'])?.toLowerCase() ?? '';
  if (/no-store|no-cache/.test(control)) return 0;
  const maxAgeS = /(?:^|[\s,])max-age="?(\d+)/.exec(control)?.[1];
  if (maxAgeS !== undefined) return 1000 * (Number(maxAgeS) - (Number(one(headers.age) ?? 0) || 0));
  const expires = one(headers.expires);
  if (expires === null) return usualMs;
  // By the source's own clock where it tells it; a date that cannot be read has passed (RFC 9111, 5.3).
  const sentMs = Date.parse(one(headers.date) ?? '');
  return (Date.parse(expires) || 0) - (Number.isNaN(sentMs) ? nowMs : sentMs);
};

/**
 * How long an answer holds by its headers, RFC 9111 for a private cache: Cache-Control, then Expires, then what is
 * usual; never longer than a day.
 * @param before what was known of the answer that a 304 confirms; it may leave its validators out
 */
export const validity = (headers: Headers, nowMs: number, usualMs: number, before?: Validity): Validity => ({
  freshUntilMs: nowMs + Math.min(Math.max(0, freshMs(headers, nowMs, usualMs)), MOST_FRESH_MS),
  etag: one(headers.etag) ?? before?.etag ?? null,
  lastModified: one(headers['last-modified']) ?? before?.lastModified ?? null,
});

/** The headers that ask "still so?". @example conditions({ freshUntilMs: 0, etag: '"a"', lastModified: null }) // { 'if-none-match': '"a"' } */
export const conditions = (kept: Validity): Record<string, string> => ({
  ...(kept.etag === null ? {} : { 'if-none-match': kept.etag }),
  ...(kept.lastModified === null ? {} : { 'if-modified-since': kept.lastModified }),
});
