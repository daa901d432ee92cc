import { type ErrorCode, isWhitethreadError, type Problem, whitethreadError } from '../core/base/errors.ts';
import { KEY_ID, withoutSecret } from '../service/keyForm.ts';
import { hidden } from './hidden.ts';

/** The one table of what a code is on the wire; docs/errors.md says what each means. */
export const statusOf: Readonly<Record<ErrorCode, number>> = {
  'invalid-input': 400,
  'unknown-species': 422,
  'unknown-crop': 422,
  'unknown-implement': 422,
  contradiction: 422,
  'weather-empty': 422,
  'weather-encoding': 422,
  'weather-format': 422,
  'weather-column': 422,
  'weather-unit': 422,
  'weather-date': 422,
  'weather-duplicate': 422,
  'weather-gap': 422,
  'weather-range': 422,
  'weather-crossed': 422,
  'weather-fahrenheit': 422,
  'weather-too-large': 413,
  'weather-too-short': 422,
  'file-unreadable': 500,
  'balance-broken': 500,
  'not-found': 404,
  'method-not-allowed': 405,
  'version-conflict': 412,
  'version-needed': 428,
  'in-use': 409,
  'replay-mismatch': 422,
  unauthenticated: 401,
  forbidden: 403,
  'too-many-requests': 429,
  'body-too-large': 413,
  'media-type': 415,
  'not-acceptable': 406,
  'timed-out': 503,
  overloaded: 503,
  'store-unavailable': 503,
  'store-full': 507,
  'store-read-only': 503,
  'store-version': 500,
  'source-unavailable': 503,
  'source-malformed': 502,
  'source-outside': 422,
  unexpected: 500,
};

/** One line for people about the status; the problems say the rest. */
export const titles: Readonly<Record<number, string>> = {
  400: 'Something in the request is wrong',
  401: 'A valid API key is needed',
  403: 'The key may not do this',
  404: 'Not found',
  405: 'The address does not take this method',
  406: 'None of the accepted types can be given',
  408: 'The request took too long to arrive',
  409: 'Other records need this one',
  412: 'The record was changed in the meantime',
  413: 'Too large',
  415: 'The body is of a type that is not read here',
  417: 'What the request expects is not done here',
  422: 'The request can be read, and its content cannot be used',
  428: 'The version to change must be named',
  429: 'Too many requests',
  431: 'The header fields are too large',
  500: 'A fault of the server',
  502: 'A weather service sent nonsense',
  503: 'Not now; try again later',
  507: 'The disk of the database is full',
};

/** Wire form of an error, RFC 9457. `instance` is the id under which the log has the request. */
export type ProblemDocument = {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly instance: string;
  readonly problems: readonly Problem[];
};

const detailOf = ({ where, given, allowed, advice }: Problem): string =>
  `${where}: given ${given}; allowed ${allowed}.${advice === undefined ? '' : ` ${advice}.`}`;

/** For the caller to know, and made safe where it is written: what a weather service did, that there is too much to do. */
const told: ReadonlySet<ErrorCode> = new Set(['source-unavailable', 'source-malformed', 'overloaded', 'timed-out']);

/** A key that was given in the wrong place, as a link or a screenshot would pass it on, is told without its secret. */
const masked = (problem: Problem): Problem => {
  const [where, given] = [withoutSecret(problem.where), withoutSecret(problem.given)];
  if (where === problem.where && given === problem.given) return problem;
  const advice = problem.advice ?? `${KEY_ID}; the whole key belongs into the header Authorization alone`;
  return { ...problem, where, given, advice };
};

/**
 * The document for an error.
 * @param status where it is not the code's own: 408, 417, 431
 */
export const problemDocument = (thrown: unknown, requestId: string, status?: number): ProblemDocument => {
  const error = asWhitethreadError(thrown);
  const { code } = error;
  const found = status ?? statusOf[code];
  const all = found >= 500 && !told.has(code) ? [hidden(code, requestId)] : error.problems.map(masked);
  const [first = hidden(code, requestId)] = all;
  return {
    type: `/errors#${code}`,
    title: titles[found] ?? 'Error',
    status: found,
    detail: detailOf(first),
    instance: requestId,
    problems: all,
  };
};

/** An error with one problem, for what the HTTP layer itself refuses. */
export const refusal = (code: ErrorCode, where: string, given: string, allowed: string, advice?: string) =>
  whitethreadError([{ code, where, given, allowed, ...(advice === undefined ? {} : { advice }) }]);

/** What was sent, as far as refusals of the framework need it, and what the route takes. */
export type Sent = {
  readonly headers: Readonly<Record<string, string | readonly string[] | undefined>>;
  readonly types: readonly string[];
  readonly mostBytes: number;
};

const sentHeader = ({ headers }: Sent, name: string): string => String(headers[name] ?? 'nothing').slice(0, 200);

/** What the framework calls its refusals. */
const frameworkCodes: Readonly<Record<string, (sent: Sent) => ReturnType<typeof refusal>>> = {
  FST_ERR_CTP_BODY_TOO_LARGE: (sent) => {
    const length = Number(sentHeader(sent, 'content-length'));
    // Unpacked it may be larger than it came.
    const given = length > sent.mostBytes ? `${length} bytes` : `more than ${sent.mostBytes} bytes, unpacked`;
    return refusal('body-too-large', 'body', given, `at most ${sent.mostBytes} bytes`);
  },
  FST_ERR_CTP_INVALID_MEDIA_TYPE: (sent) =>
    refusal('media-type', 'header Content-Type', sentHeader(sent, 'content-type'), sent.types.join(', ')),
  FST_CP_ERR_INVALID_CONTENT_ENCODING: (sent) =>
    refusal(
      'media-type',
      'header Content-Encoding',
      sentHeader(sent, 'content-encoding'),
      'gzip, deflate, br, or none',
    ),
};

const sayable = (error: object, name: string): string => {
  const value: unknown = Reflect.get(error, name);
  return typeof value === 'string' ? value : '';
};

const NOTHING_KNOWN: Sent = { headers: {}, types: [], mostBytes: 0 };

/** Anything thrown as one of the closed list: the framework's own refusals by their code, the rest is 'unexpected'. */
export const asWhitethreadError = (thrown: unknown, sent = NOTHING_KNOWN) => {
  if (isWhitethreadError(thrown)) return thrown;
  if (typeof thrown !== 'object' || thrown === null) return refusal('unexpected', 'server', 'a fault', 'none');
  const message = sayable(thrown, 'message');
  const known = frameworkCodes[sayable(thrown, 'code')];
  if (known !== undefined) return known(sent);
  const status: unknown = Reflect.get(thrown, 'statusCode');
  if (typeof status === 'number' && status >= 400 && status < 500)
    return refusal('invalid-input', 'request', message, 'a request in the form that the OpenAPI document shows');
  return refusal('unexpected', 'server', 'a fault', 'none');
};
