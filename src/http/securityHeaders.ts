import type { App } from './contract.ts';

/**
 * What a browser may do with an answer of data: nothing. The same for every answer, so they are set at once; the pages
 * under /docs have helmet's.
 */
const headers = {
  'content-security-policy': "default-src 'none'; frame-ancestors 'none'",
  'strict-transport-security': 'max-age=31536000; includeSubDomains',
  'x-content-type-options': 'nosniff',
  'cache-control': 'no-store',
} as const;

/** Security headers, and the id of the request, on every answer. */
export const securityHeaders = (app: App): void => {
  app.addHook('onRequest', (request, reply, done) => {
    if (!request.url.startsWith('/docs')) reply.headers(headers);
    reply.header('x-request-id', request.id);
    done();
  });
};
