import type { ServerResponse } from 'node:http';

/** More than an outlook of a year takes. */
const BYTES = 256 * 1024;
/** As many answers as are on their way at once on a busy server; more is for the engine to take away. */
const MOST_FREE = 16;
const free: ArrayBuffer[] = [];

/**
 * Memory for an answer that another thread is to write. It goes there and comes back with the answer: to have the engine
 * find and tidy up new memory for each costs a sixth of what it takes to work one out.
 */
export const lent = (): ArrayBuffer => free.pop() ?? new ArrayBuffer(BYTES);

/**
 * Takes the memory of an answer back once all of it has gone out. Nothing is lost where that is never told, as when the
 * caller hangs up.
 * @param bytes the answer, alone in its memory; not to be used after it was sent
 */
export const givenBackFrom = (reply: ServerResponse, bytes: Uint8Array): void => {
  reply.once('finish', () => {
    const memory = bytes.buffer as ArrayBuffer;
    if (memory.byteLength >= BYTES && free.length < MOST_FREE && !free.includes(memory)) free.push(memory);
  });
};
