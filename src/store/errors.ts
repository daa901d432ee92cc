import { type ErrorCode, isWhitethreadError, whitethreadError } from '../core/base/errors.ts';

/** What SQLite's, PostgreSQL's (SQLSTATE) and the system's codes mean to a caller; the first that fits. */
const meanings: readonly (readonly [RegExp, ErrorCode])[] = [
  [/^(SQLITE_FULL|ENOSPC|EDQUOT|53100)$/, 'store-full'],
  [/^(SQLITE_READONLY\w*|SQLITE_PERM|EROFS|EACCES|EPERM|25006|42501)$/, 'store-read-only'],
  [/^SQLITE_NOTADB$/, 'store-version'],
  [/^SQLITE_(BUSY|LOCKED|IOERR|CORRUPT|CANTOPEN|PROTOCOL|NOMEM|INTERRUPT|AUTH)/, 'store-unavailable'],
  // Connection, roles, no such database, deadlock, resources, locks, an operator's intervention, the system, a fault.
  [/^(08|28|3D|40|53|55|57|58|XX)\w{3}$/, 'store-unavailable'],
];

const allowed: Partial<Record<ErrorCode, string>> = {
  'store-full': 'a database with room',
  'store-read-only': 'a database that may be written',
  'store-version': 'a database of this program',
};

/** A refusal of the store. */
export const storeRefusal = (
  code: ErrorCode,
  where: string,
  given: string,
  allowed: string,
  cause?: unknown,
  advice?: string,
) =>
  Object.assign(whitethreadError([{ code, where, given, allowed, ...(advice === undefined ? {} : { advice }) }]), {
    cause,
  });

const codeOf = (thrown: Error): ErrorCode | null => {
  const { code } = thrown as { code?: unknown };
  const known = meanings.find(([pattern]) => pattern.test(String(code)))?.[1];
  if (known !== undefined) return known;
  // Any other code of a database is our own fault and stays what it is, as does a fault of the program.
  const isOurs = /^(SQLITE_\w+|[0-9A-Z]{5})$/.test(String(code)) && !/^E[A-Z]+$/.test(String(code));
  if (isOurs || thrown instanceof TypeError || thrown instanceof RangeError) return null;
  // What is left is the network: refused, reset, timed out, ended.
  return 'store-unavailable';
};

/**
 * What a driver threw as an error of the contract, with the driver's own as its cause. A fault of the program comes back
 * unchanged.
 */
export const storeError = (thrown: unknown): unknown => {
  if (!(thrown instanceof Error) || isWhitethreadError(thrown)) return thrown;
  const code = codeOf(thrown);
  if (code === null) return thrown;
  return storeRefusal(code, 'database', thrown.message, allowed[code] ?? 'a database that answers', thrown);
};

/** The same promise, whose failure is an error of the contract. */
export const translated = <T>(work: Promise<T>): Promise<T> =>
  work.catch((thrown: unknown) => {
    throw storeError(thrown);
  });
