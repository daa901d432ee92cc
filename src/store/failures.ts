import { type ErrorCode, isWhitethreadError, whitethreadError } from '../core/base/errors.ts';

type Code = Extract<ErrorCode, 'store-unavailable' | 'store-full' | 'store-read-only'>;

/** What drivers and the system call their failures; first match counts. */
const causes: readonly (readonly [RegExp, Code])[] = [
  [/^(SQLITE_FULL|ENOSPC|53100)/, 'store-full'],
  [/^(SQLITE_READONLY|SQLITE_PERM|EROFS|EACCES|25006)/, 'store-read-only'],
  [/^(SQLITE_(BUSY|LOCKED|IOERR|CORRUPT|CANTOPEN|NOTADB|PROTOCOL))/, 'store-unavailable'],
  [/^(08...|57P0.|53300|ECONNREFUSED|ECONNRESET|EPIPE|ENOTFOUND|ETIMEDOUT|ENOENT)$/, 'store-unavailable'],
];

const advice: Readonly<Record<Code, string>> = {
  'store-unavailable': 'Send it again; if it lasts, the operator looks at the database',
  'store-full': 'The operator makes room on the disk; nothing of this request was kept',
  'store-read-only': 'The operator restores the right to write; nothing of this request was kept',
};

/** The pool gives its own refusals no code. */
const POOL =
  /timeout exceeded when trying to connect|Connection terminated|Client has encountered a connection error|pool/i;

/** A failure of the database as one of ours; anything else stays as it is, a fault of the program. */
export const storeFailure = (thrown: unknown): unknown => {
  if (isWhitethreadError(thrown) || !(thrown instanceof Error)) return thrown;
  const name = 'code' in thrown && typeof thrown.code === 'string' ? thrown.code : '';
  const code =
    causes.find(([pattern]) => pattern.test(name))?.[1] ??
    (POOL.test(thrown.message) ? 'store-unavailable' : undefined);
  if (code === undefined) return thrown;
  const error = whitethreadError([
    {
      code,
      where: 'database',
      given: `${name} ${thrown.message}`.trim(),
      allowed: 'a database that answers',
      advice: advice[code],
    },
  ]);
  return Object.assign(error, { cause: thrown });
};

/** Every function of an object with its failures turned into ours. */
export const guarded = <Args extends readonly unknown[], Result>(
  work: (...args: Args) => Promise<Result>,
): ((...args: Args) => Promise<Result>) => {
  return async (...args) => {
    try {
      return await work(...args);
    } catch (error) {
      throw storeFailure(error);
    }
  };
};
