import assert from 'node:assert/strict';
import createClient, { type Client, type Middleware } from 'openapi-fetch';
import type { paths } from './paths.ts';

/** The server as its OpenAPI file describes it. */
export type Api = Client<paths>;

/** A client that sends a key with every request. */
export const apiWith = (address: string, key: string): Api => {
  const api = createClient<paths>({ baseUrl: address });
  const bearer: Middleware = {
    onRequest: ({ request }) => {
      request.headers.set('authorization', `Bearer ${key}`);
      return request;
    },
  };
  api.use(bearer);
  return api;
};

type Answer<T> = { readonly data?: T; readonly error?: unknown; readonly response: Response };

const assertStatus = ({ data, error, response }: Answer<unknown>, status: number): void =>
  assert.equal(response.status, status, `${response.url}: ${JSON.stringify(error ?? data)}`);

/** The document that came, with its ETag; stops the story with the server's own words where something else was answered. */
export const told = <T>(answer: Answer<T>, status = 200): { data: Exclude<NonNullable<T>, string>; etag: string } => {
  assertStatus(answer, status);
  const { data, response } = answer;
  return { data: data as Exclude<NonNullable<T>, string>, etag: response.headers.get('etag') ?? '' };
};

/** The text that came, which must be of this type. */
export const toldText = (answer: Answer<unknown>, type: string): string => {
  assertStatus(answer, 200);
  assert.equal(answer.response.headers.get('content-type')?.split(';')[0], type);
  return String(answer.data);
};

/** Stops the story where a request was not refused with this status and code. */
export const refused = ({ error, response }: Answer<unknown>, status: number, code: string): void => {
  assert.equal(response.status, status, `${response.url}: ${JSON.stringify(error)}`);
  assert.match(response.headers.get('content-type') ?? '', /^application\/problem\+json/);
  const { problems } = error as { problems: { code: string }[] };
  assert.equal(problems[0]?.code, code);
};
