import type { App } from './contract.ts';
import type { HeaderName } from './headers.ts';

/** That a route is to go: since when that is said, when it may be gone, and the page that names what takes its place. */
export type Deprecated = { readonly since: string; readonly sunset: string; readonly see: string };

const SECOND_MS = 1000;
/** What docs/operations.md promises. */
const LEAST_NOTICE_MS = 365 * 24 * 3600 * SECOND_MS;

const instants = ({ since, sunset }: Deprecated) => ({ sinceMs: Date.parse(since), sunsetMs: Date.parse(sunset) });

/** Header fields after RFC 9745 (Deprecation) and RFC 8594 (Sunset). */
const fieldsOf = (deprecated: Deprecated, link: unknown) => {
  const { sinceMs, sunsetMs } = instants(deprecated);
  const own = `<${deprecated.see}>; rel="deprecation"`;
  return {
    deprecation: `@${sinceMs / SECOND_MS}`,
    sunset: new Date(sunsetMs).toUTCString(),
    link: typeof link === 'string' ? `${link}, ${own}` : own,
  };
};

/** Good answers of a route that declares `deprecated` say so. Less than a year of notice stops the start. */
export const deprecation = (app: App): void => {
  app.addHook('onRoute', (route) => {
    const deprecated = route.config?.deprecated;
    if (deprecated === undefined) return;
    const { sinceMs, sunsetMs } = instants(deprecated);
    if (!(sunsetMs - sinceMs >= LEAST_NOTICE_MS)) throw new Error(`${route.url} goes within a year of saying so`);
    // An answer that is given again from memory would lack what is added here.
    route.config = { ...route.config, isTimeless: false };
    route.onSend = [route.onSend ?? []].flat().concat((_, reply, payload, done) => {
      if (reply.statusCode < 400) reply.headers(fieldsOf(deprecated, reply.getHeader('link')));
      done(null, payload);
    });
  });
};

/** What of it the document declares. */
export const deprecationFields = ['Deprecation', 'Sunset', 'Link'] as const satisfies readonly HeaderName[];

/** The same for those who read the document. */
export const deprecationText = ({ since, sunset, see }: Deprecated): string =>
  ` Deprecated since ${since}; goes after ${sunset}. See ${see}.`;
