/**
 * The closed list of things that can be wrong with what a caller gave. docs/errors.md explains each one;
 * a test compares the page with this list both ways.
 */
export const errorCodes = [
  'invalid-input',
  'unknown-species',
  'unknown-crop',
  'unknown-implement',
  'contradiction',
  'weather-empty',
  'weather-encoding',
  'weather-format',
  'weather-column',
  'weather-unit',
  'weather-date',
  'weather-duplicate',
  'weather-gap',
  'weather-range',
  'weather-crossed',
  'weather-fahrenheit',
  'weather-too-large',
  'weather-too-short',
  'file-unreadable',
  'balance-broken',
  'not-found',
  'method-not-allowed',
  'version-conflict',
  'version-needed',
  'in-use',
  'replay-mismatch',
  'unauthenticated',
  'forbidden',
  'too-many-requests',
  'body-too-large',
  'media-type',
  'not-acceptable',
  'timed-out',
  'overloaded',
  'store-unavailable',
  'store-full',
  'store-read-only',
  'store-version',
  'source-unavailable',
  'source-malformed',
  'source-outside',
  'unexpected',
] as const;

export type ErrorCode = (typeof errorCodes)[number];

/** One thing that is wrong: where, what was given, what is allowed, and what to do about it. */
export type Problem = {
  readonly code: ErrorCode;
  /** Where in the input, for example `weather.tempMaxC[12]` or `line 14, column tmax_c`. */
  readonly where: string;
  readonly given: string;
  readonly allowed: string;
  readonly advice?: string;
};

export type WhitethreadError = Error & { readonly code: ErrorCode; readonly problems: readonly Problem[] };

/** A problem as a sentence. */
export const problemText = (p: Omit<Problem, 'advice'> & { readonly advice?: string | undefined }): string =>
  `${p.where}: given ${p.given}; allowed ${p.allowed}${p.advice === undefined ? '' : `. ${p.advice}`}`;

/** At most this many problems are listed: a body of thousands of bad rows must not cost more than a good one. */
export const MOST_PROBLEMS = 50;

/**
 * An error that carries every problem found, up to fifty, not only the first. Its message is readable as it stands.
 * @param found at least one
 */
export const whitethreadError = (found: readonly Problem[]): WhitethreadError => {
  const problems = found.slice(0, MOST_PROBLEMS);
  const error = new Error(problems.map(problemText).join('\n'));
  error.name = 'WhitethreadError';
  return Object.assign(error, { code: problems[0]?.code ?? 'invalid-input', problems });
};

/** Whether something thrown is an error about what the caller gave, made by `whitethreadError`. */
export const isWhitethreadError = (thrown: unknown): thrown is WhitethreadError =>
  thrown instanceof Error && thrown.name === 'WhitethreadError';
