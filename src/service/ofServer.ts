import type { ErrorCode } from '../core/base/errors.ts';

/** Faults of the moment, not of the field: the same question has an answer later. */
export const ofServer: ReadonlySet<ErrorCode> = new Set(['overloaded', 'store-unavailable']);
