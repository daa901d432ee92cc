export type Reply = { readonly status: number; readonly headers: Headers; readonly text: string };
export type Call = (
  method: string,
  path: string,
  body?: unknown,
  headers?: Readonly<Record<string, string>>,
) => Promise<Reply>;

/** Calls a server with a key. A body that is text is sent as it is, anything else as JSON. */
export const caller =
  (address: string, key: string): Call =>
  async (method, path, body, headers = {}) => {
    const isText = typeof body === 'string';
    const reply = await fetch(address + path, {
      method,
      headers: {
        authorization: `Bearer ${key}`,
        ...(body === undefined ? {} : { 'content-type': isText ? 'text/csv' : 'application/json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: isText ? body : JSON.stringify(body) }),
    });
    return { status: reply.status, headers: reply.headers, text: await reply.text() };
  };

/** The answer as JSON where it went well; throws with what the server said where it did not. */
export const good = <T = { readonly id: string }>({ status, text }: Reply): T => {
  if (status >= 300) throw new Error(`${status}: ${text}`);
  return JSON.parse(text) as T;
};
