import { sixDigits } from '../base/numbers.ts';
import type { Closed, ClosedReason } from './schema.ts';

const told = (value: number | null): number | null => (value === null ? null : sixDigits(value));

/** One reason why a window is closed: the value met, the limit it broke, their unit, and the layer or stage meant. */
export const closedBy = (
  reason: ClosedReason,
  given: number | null,
  limit: number | null,
  unit: string,
  detail?: string,
): Closed => {
  const [met, broken] = [told(given), told(limit)];
  return detail === undefined
    ? { reason, given: met, limit: broken, unit }
    : { reason, given: met, limit: broken, unit, detail };
};
