import type { Closed, ClosedReason } from './schema.ts';

/** One reason why a window is closed: the value met, the limit it broke, their unit, and the layer or stage meant. */
export const closedBy = (
  reason: ClosedReason,
  given: number | null,
  limit: number | null,
  unit: string,
  detail?: string,
): Closed => (detail === undefined ? { reason, given, limit, unit } : { reason, given, limit, unit, detail });
