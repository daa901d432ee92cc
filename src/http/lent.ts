import type { ServerResponse } from 'node:http';
import { OUTLOOK_BYTES } from './columnsJson.ts';

/** As many answers as are on their way at once on a busy server; more is for the engine to take away. */
const MOST_FREE = 16;
/** Memory that grew for many years would be held by a server that is never asked for so many again. */
const MOST_BYTES = 4 * OUTLOOK_BYTES;
const free: ArrayBuffer[] = [];

/**
 * Memory for an answer that another thread is to write. It goes there and comes back with the answer: to have the engine
 * find and tidy up new memory for each costs a sixth of what it takes to work one out.
 */
export const lent = (): ArrayBuffer => free.pop() ?? new ArrayBuffer(OUTLOOK_BYTES);

/**
 * Takes the memory of an answer back once all of it has gone out. Nothing is lost where that is never told, as when the
 * caller hangs up.
 * @param bytes the answer, alone in its memory; not to be used after it was sent
 */
export const givenBackFrom = (reply: ServerResponse, bytes: Uint8Array): void => {
  reply.once('finish', () => {
    const memory = bytes.buffer as ArrayBuffer;
    const isOfUse = memory.byteLength >= OUTLOOK_BYTES && memory.byteLength <= MOST_BYTES;
    if (isOfUse && free.length < MOST_FREE && !free.includes(memory)) free.push(memory);
  });
};
