import type { Problem } from '../core/base/errors.ts';
import type { Deps } from './contract.ts';
import type { FarmRecord, PassRecord, RecordKind } from './records/schema.ts';
import { dateAt } from './zone.ts';

/**
 * A pass that is still to be made would kill weeds in every answer and stand in the record of the certifier; a count that is
 * still to be made tells nothing.
 */
export const notDoneYet = (
  { nowMs }: Pick<Deps, 'nowMs'>,
  kind: RecordKind,
  data: object,
  { timeZone }: FarmRecord,
): Problem[] => {
  if (kind !== 'pass' && kind !== 'count') return [];
  const { date } = data as Partial<PassRecord>;
  const today = dateAt(nowMs(), timeZone);
  if (date === undefined || date <= today) return [];
  return [
    {
      code: 'invalid-input',
      where: 'date',
      given: date,
      allowed: `a day up to today, which is ${today} in ${timeZone}`,
      advice: `Send a ${kind} once it is made`,
    },
  ];
};
