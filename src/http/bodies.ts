import type { FastifyRequest } from 'fastify';
import type { App } from './contract.ts';
import { assertShallow } from './json.ts';

type Done = (error: Error | null, body?: unknown) => void;

const BYTE_ORDER_MARK = 0xfeff;

const kept = (request: FastifyRequest, body: string): string => {
  const text = body.charCodeAt(0) === BYTE_ORDER_MARK ? body.slice(1) : body;
  request.bodyText = text;
  return text;
};

/** JSON bodies: not too deep, no prototype in disguise; the text is kept for the hash of idempotency and for weather. */
export const jsonBodies = (app: App): void => {
  app.decorateRequest('bodyText', '');
  app.removeAllContentTypeParsers();
  const parse = app.getDefaultJsonParser('error', 'error');
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (request, body, done: Done) => {
    const text = kept(request, body as string);
    try {
      assertShallow(text);
    } catch (error) {
      done(error as Error);
      return;
    }
    parse(request, text, done);
  });
};

/** Bodies of these types stay text in this scope: whoever computes parses them, away from this thread. */
export const textBodies = (app: App, types: readonly string[]): void => {
  app.removeContentTypeParser([...types]);
  app.addContentTypeParser([...types], { parseAs: 'string' }, (request, body, done: Done) => {
    done(null, kept(request, body as string));
  });
};
