/** Any route's reply: what is sent raw is bytes or text that needs no serializer. */
export type Reply = {
  readonly code: (status: never) => Pick<Reply, 'send'>;
  readonly header: (name: string, value: string) => unknown;
  readonly send: (payload: never) => unknown;
};

/** Sends what is already in its final form. */
export const sendRaw = (
  reply: Pick<Reply, 'header' | 'send'>,
  type: string,
  body: string | Uint8Array | NodeJS.ReadableStream,
): void => {
  reply.header('content-type', type.includes('charset') ? type : `${type}; charset=utf-8`);
  reply.send(body as never);
};
