/** A header field as the OpenAPI document declares it. A required one stands in every answer that names it. */
type Field = {
  readonly description: string;
  readonly required: boolean;
  readonly schema: { readonly type: 'string' | 'integer' };
  readonly example: string | number;
};

const text = (description: string, example: string, required = true): Field => ({
  description,
  required,
  schema: { type: 'string' },
  example,
});

/** Every header field of ours that an answer may carry, beside what HTTP says of any answer. */
export const headerFields = {
  'X-Request-Id': text(
    'The id under which the log has the request; the caller’s own where it is harmless.',
    'order-4711',
  ),
  ETag: text('Strong tag of what was sent, packed or not, for If-None-Match and, of a record, for If-Match.', '"3"'),
  Location: text('Address of what was made.', '/v1/farms/01k8a7b3c4d5/fields/01k8a7b3c4d6'),
  'Idempotency-Replayed': text('`true` where an earlier request had the same Idempotency-Key.', 'true', false),
  'RateLimit-Policy': text('Requests that may be made in a window of so many seconds.', '"minute";q=600;w=60'),
  RateLimit: text('Requests that are left, and seconds until there are all again.', '"minute";r=599;t=60'),
  'Retry-After': {
    description: 'Seconds to wait before the same request.',
    required: true,
    schema: { type: 'integer' },
    example: 5,
  },
  'WWW-Authenticate': text('How to say who asks.', 'Bearer'),
  Link: text(
    '`rel="license"`: whose weather the answer rests on. `rel="deprecation"`: what takes the operation’s place.',
    '<https://weather.example/terms>; rel="license"; title="Weather service CC-BY-4.0"',
    false,
  ),
  Deprecation: text('Since when the operation is to go, RFC 9745.', '@1767225600'),
  Sunset: text('When it may be gone, RFC 8594.', 'Fri, 01 Jan 2027 00:00:00 GMT'),
  Warning: text('110 where weather is the last that could be had.', '110 - "stale weather: global"', false),
} as const satisfies Record<string, Field>;

export type HeaderName = keyof typeof headerFields;

/** Refused before it was counted, a request gets no figures of its limit. */
const WHERE_COUNTED = '-Where-Counted';
const limitFields = ['RateLimit-Policy', 'RateLimit'] as const;

/** The fields as components of the document; where a request may not have been counted, those of its limit are optional. */
export const headerComponents: Readonly<Record<string, Field>> = {
  ...headerFields,
  ...Object.fromEntries(
    limitFields.map((name) => [name + WHERE_COUNTED, { ...headerFields[name], required: false } satisfies Field]),
  ),
};

type References = Readonly<Record<string, { readonly $ref: string }>>;

const references = (names: readonly HeaderName[], ending = ''): References =>
  Object.fromEntries(names.map((name) => [name, { $ref: `#/components/headers/${name}${ending}` }]));

/** Statuses with which a request may be refused before it is counted, or where nothing is. */
const beforeCount = [401, 406, 429, 500, 503];

/** The fields of a problem. */
export const problemHeaders = (status: number): References => ({
  ...references(['X-Request-Id']),
  ...references(limitFields, beforeCount.includes(status) ? WHERE_COUNTED : ''),
  ...references(status === 401 ? ['WWW-Authenticate'] : []),
  ...references(status === 429 || status === 503 ? ['Retry-After'] : []),
});

/** What of an operation's form decides which fields its good answers carry. */
export type AnswerForm = {
  readonly status: string;
  /** What is read can be asked for again under its tag. */
  readonly isTagged: boolean;
  /** A request that can be repeated without being done twice. */
  readonly isOnce: boolean;
  readonly isUnlimited: boolean;
  /** Fields of its own, from the route. */
  readonly sends: readonly HeaderName[];
};

/** The fields of a good answer: they follow from the operation's form, so that a route has little to declare. */
export const answerHeaders = ({ status, isTagged, isOnce, isUnlimited, sends }: AnswerForm): References =>
  references([
    'X-Request-Id',
    ...(isTagged && status !== '204' ? (['ETag'] as const) : []),
    ...(isOnce && status === '201' ? (['Location', 'Idempotency-Replayed'] as const) : []),
    ...(isUnlimited ? [] : limitFields),
    ...sends,
  ]);
