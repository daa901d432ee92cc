import type { ErrorCode, Problem } from '../core/base/errors.ts';

type Hint = { readonly given: string; readonly allowed: string; readonly todo: string };

const REPORT: Hint = { given: 'this request', allowed: 'see the errors page', todo: 'Report it with' };

/** What the caller can do about a fault of the database, as docs/errors.md says it. */
const hints: Partial<Record<ErrorCode, Hint>> = {
  'store-unavailable': {
    given: 'a database that does not answer',
    allowed: 'one that answers',
    todo: 'Wait as many seconds as Retry-After says and send it again; where that does not help tell the operator',
  },
  'store-full': {
    given: 'a database whose disk is full',
    allowed: 'one with room',
    todo: 'Nothing of the request was kept: send it again once the operator has made room. Tell the operator',
  },
  'store-read-only': {
    given: 'a database that cannot be written',
    allowed: 'one that can',
    todo: 'Nothing of the request was kept: send it again once the operator has restored the right to write. Tell the operator',
  },
  'store-version': {
    given: 'a database of another version',
    allowed: 'one of this version',
    todo: 'To send it again does not help. Tell the operator',
  },
};

/** Faults of ours and of the database keep their text to the log; what to do follows from the code. */
export const hidden = (code: ErrorCode, requestId: string): Problem => {
  const { todo, ...told } = hints[code] ?? REPORT;
  return { code, where: 'server', ...told, advice: `${todo} the request id ${requestId}` };
};
