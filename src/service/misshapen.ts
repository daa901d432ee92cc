import type { Problem } from '../core/base/errors.ts';
import type { Deps } from './contract.ts';
import { membersOf, type RecordKind } from './records/schema.ts';
import { assertSound, readRecord } from './records.ts';

/**
 * Refuses a record of another form with everything that is wrong with it: what its members of the right form name and say is
 * looked at too, so that nobody corrects one thing to be told of the next.
 * @param faults those of its form, at least one
 * @param id of the record whose place it was to take
 * @throws WhitethreadError 'invalid-input'; 'not-found' where there is no such farm or record
 */
export const refuseForm = async (
  deps: Deps,
  farmId: string,
  kind: RecordKind,
  given: unknown,
  faults: readonly Problem[],
  id?: string,
): Promise<void> => {
  const before = id === undefined ? null : (JSON.parse((await readRecord(deps, farmId, kind, id)).text) as object);
  await assertSound(deps, farmId, kind, membersOf(kind, given), before, faults);
};
