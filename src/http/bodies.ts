import compress from '@fastify/compress';
import type { FastifyRequest } from 'fastify';
import { jsonOf } from '../service/json.ts';
import { encodingFault, textOf, UTF8 } from '../sources/text.ts';
import type { App } from './contract.ts';
import { refusal } from './errors.ts';
import { assertShallow } from './json.ts';
import { packingNamed } from './packing.ts';

type Done = (error: Error | null, body?: unknown) => void;

/** It leaves out a byte order mark. */
const decoder = new TextDecoder();

/** Bytes of JSON as text. @throws WhitethreadError 'invalid-input': other bytes would be stored as other letters */
const jsonText = (bytes: Uint8Array): string => {
  const fault = encodingFault(bytes);
  if (fault === null) return decoder.decode(bytes);
  throw refusal('invalid-input', `body, ${fault.where}`, fault.given, UTF8, 'Send the body in UTF-8');
};

/** How the bytes of a type become text: CSV as a file of weather does, whoever reads it. */
const textOfType: Readonly<Record<string, (bytes: Uint8Array) => string>> = { 'text/csv': textOf };

/** Reads bodies of a type as text, which is kept for the hash of idempotency and for weather; `then` goes on with it. */
const bodiesOf = (app: App, type: string, then: (request: FastifyRequest, text: string, done: Done) => void): void => {
  const toText = textOfType[type] ?? jsonText;
  app.addContentTypeParser(type, { parseAs: 'buffer' }, (request, body, done: Done) => {
    try {
      request.bodyText = toText(body as Buffer);
      then(request, request.bodyText, done);
    } catch (error) {
      done(error as Error);
    }
  });
};

/** Why a text is not taken as a body. */
const faultOf = (text: string): Error => {
  try {
    jsonOf(text);
  } catch (error) {
    return error as Error;
  }
  return refusal('invalid-input', 'body', 'a member __proto__ or constructor.prototype', 'JSON without it');
};

/** JSON bodies: not too deep, no prototype in disguise. */
export const jsonBodies = (app: App): void => {
  app.decorateRequest('bodyText', '');
  app.removeAllContentTypeParsers();
  const parse = app.getDefaultJsonParser('error', 'error');
  bodiesOf(app, 'application/json', (request, text, done) => {
    // Some clients name the type of every body, also where there is none.
    if (text === '' && request.method === 'DELETE') return done(null, undefined);
    assertShallow(text);
    parse(request, text, (error, body) => done(error === null ? null : faultOf(text), body));
  });
};

/** Bodies of these types stay text in this scope: whoever computes parses them, away from this thread. */
export const textBodies = (app: App, types: readonly string[]): void => {
  app.removeContentTypeParser([...types]);
  for (const type of types) bodiesOf(app, type, (_, text, done) => done(null, text));
};

const codings = ['gzip', 'br', 'deflate', 'identity'] as const;
type Coding = (typeof codings)[number];

/** The coding of a body by the one name that its unpacker knows: case counts for nothing, RFC 9110, 8.4.1. */
const codingNamed = (given: string): Coding | undefined => {
  const name = packingNamed(given.toLowerCase());
  return codings.find((coding) => coding === name);
};

/** Unpacks bodies that come packed. What brings no body needs no one who unpacks it. */
export const packedBodies = async (app: App): Promise<void> => {
  app.addHook('onRoute', (route) => {
    if (route.method === 'GET' || route.method === 'HEAD') {
      route.decompress = false;
      return;
    }
    route.onRequest = [route.onRequest ?? []].flat().concat(({ headers }, _, done) => {
      const coding = codingNamed(headers['content-encoding'] ?? '');
      if (coding !== undefined) headers['content-encoding'] = coding;
      done();
    });
  });
  await app.register(compress, { globalCompression: false, requestEncodings: [...codings] });
};
