/** Any route's reply: what is sent raw is bytes or text that needs no serializer. */
export type Reply = {
  readonly code: (status: never) => Pick<Reply, 'send'>;
  readonly header: (name: string, value: string) => unknown;
  readonly send: (payload: never) => unknown;
};

/**
 * Sends what is already in its final form. An async handler must hand the result back (`return sendRaw(...)`): a large
 * body is compressed as a stream, and the framework would take the handler's end for an empty answer. The type fits every
 * route, as no serializer has to do with what is sent.
 */
export const sendRaw = (
  reply: Pick<Reply, 'header' | 'send'>,
  type: string,
  body: string | Uint8Array | NodeJS.ReadableStream,
): never => {
  reply.header('content-type', type.includes('charset') ? type : `${type}; charset=utf-8`);
  return reply.send(body as never) as never;
};
