/**
 * Bytes in a buffer of their own, so that they can be handed over to another thread: a short Buffer lies in one that many
 * share, which stays where it is.
 */
export const inOwnBuffer = (bytes: Uint8Array): Uint8Array =>
  bytes.byteLength === bytes.buffer.byteLength ? bytes : new Uint8Array(bytes);
