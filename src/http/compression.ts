import { pipeline, Readable } from 'node:stream';
import { brotliCompress, createBrotliCompress, createGzip, gzip } from 'node:zlib';
import type { App } from './contract.ts';
import { chosenPacking, varyBy } from './negotiation.ts';
import { brotliOptions, gzipOptions, type Packing, packed } from './packing.ts';
import { packedTag } from './tags.ts';

/** What is shorter gains little, and may be given again from memory to any caller alike. */
const LEAST_CHARACTERS = 4096;
/** NDJSON is not among them: its lines would wait in the packer for one another. */
const TEXT = /^text\/|[/+]json\b|javascript/;

type Whole = string | Buffer;
type Done = (error: Error | null, payload?: unknown) => void;
/** What is longer is packed away from this thread, to which shorter ones are less work than to hand them over. */
const MOST_HERE = 32 * 1024;
/** As one piece, so that its length is known. */
const whole: Readonly<Record<Packing, (payload: Whole, done: Done) => void>> = {
  br: (payload, done) => brotliCompress(payload, brotliOptions, done),
  gzip: (payload, done) => gzip(payload, gzipOptions, done),
};
const packer = { br: () => createBrotliCompress(brotliOptions), gzip: () => createGzip(gzipOptions) };

/** A stream that breaks off ends its packer too, which tells the framework. */
const through = (stream: Readable, packing: Packing) => pipeline(stream, packer[packing](), () => {});

const lengthOf = (payload: unknown): number =>
  payload instanceof Readable ? Number.POSITIVE_INFINITY : ((payload as Whole | null | undefined)?.length ?? 0);

/**
 * Packs long answers as the caller likes best. Packed they are other bytes, and what is read has a tag of its own then
 * (RFC 9110, 8.8.3.3). Before the framework takes the body of an answer to HEAD away, whose fields are so those of GET.
 */
export const compression = (app: App): void => {
  app.addHook('onSend', (request, reply, payload: unknown, done: Done) => {
    const isLong =
      lengthOf(payload) >= LEAST_CHARACTERS &&
      reply.statusCode !== 206 &&
      !reply.hasHeader('content-encoding') &&
      TEXT.test(String(reply.getHeader('content-type')));
    // How long it would have been nobody asks where nothing is sent.
    if (isLong || reply.statusCode === 304) varyBy(reply, 'accept-encoding');
    const packing = isLong ? chosenPacking(request.headers['accept-encoding']) : null;
    if (packing === null) return done(null, payload);
    reply.header('content-encoding', packing).removeHeader('content-length');
    const tag = reply.getHeader('etag');
    const isRead = request.method === 'GET' || request.method === 'HEAD';
    if (isRead && typeof tag === 'string') reply.header('etag', packedTag(tag, packing));
    if (payload instanceof Readable) return done(null, through(payload, packing));
    if (lengthOf(payload) > MOST_HERE) return whole[packing](payload as Whole, done);
    done(null, packed(Buffer.from(payload as string), packing));
  });
};
