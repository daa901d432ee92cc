import { type DayNumber, dayNumber } from '../core/base/day.ts';
import { allRecords, type Kept } from './allRecords.ts';
import type { Deps, Who } from './contract.ts';
import { plantingOn } from './cropping.ts';
import { type FarmParts, farmParts, removedRecord } from './gather.ts';
import { inTurn } from './inTurn.ts';
import { mayI } from './keys.ts';
import { type Known, type PassRow, passRow } from './passRow.ts';
import { type FieldState, fieldStates, noState } from './passStates.ts';
import type { CountRecord, CrewRecord, FieldRecord, PassRecord } from './records/schema.ts';
import { readFarm } from './records.ts';

const named = <T extends { readonly name: string }>(records: readonly Kept<T>[]): Map<string, string> =>
  new Map(records.map(({ id, data }) => [id, data.name]));

/** The fields of passes; a removed one as it last stood, for its passes stay in the record. */
const fieldsOf = async (
  { store }: Pick<Deps, 'store'>,
  farmId: string,
  { fields }: FarmParts,
  passes: readonly PassRecord[],
): Promise<Known['fields']> => {
  const found = new Map(fields.map((field) => [field.id, field]));
  for (const id of new Set(passes.map(({ fieldId }) => fieldId))) {
    const gone = found.has(id) ? null : await removedRecord<FieldRecord>(store, farmId, 'field', id);
    if (gone !== null) found.set(id, gone);
  }
  return found;
};

/** By field, the days of its passes in order, each once. */
const daysOf = (passes: readonly PassRecord[]): Map<string, Set<DayNumber>> => {
  const found = new Map<string, Set<DayNumber>>();
  for (const { fieldId, date } of passes)
    found.set(fieldId, (found.get(fieldId) ?? new Set<DayNumber>()).add(dayNumber(date)));
  return found;
};

/**
 * Every pass from one date to another, oldest first, with what was known that day.
 * @throws WhitethreadError 'not-found', 'forbidden', 'overloaded', 'timed-out'
 */
export const passRecord = async (
  deps: Deps,
  who: Who,
  farmId: string,
  span: { readonly from?: string | undefined; readonly to?: string | undefined },
): Promise<readonly PassRow[]> => {
  mayI(who, 'reader', farmId);
  const { timeZone } = await readFarm(deps, farmId);
  const parts = await farmParts(deps, farmId);
  const passes = parts.passes
    .map(({ data }) => data)
    .filter(({ date }) => date >= (span.from ?? '') && date <= (span.to ?? '9999'))
    .toSorted((a, b) => (a.date + a.fieldId < b.date + b.fieldId ? -1 : 1));
  const known: Known = {
    fields: await fieldsOf(deps, farmId, parts, passes),
    machines: named(parts.machines),
    crews: named(await allRecords<CrewRecord>(deps.store, farmId, 'crew')),
    counts: await allRecords<CountRecord>(deps.store, farmId, 'count'),
    cropOn: (fieldId, day) => plantingOn(parts.plantings, fieldId, day)?.data.crop ?? null,
  };
  const earliest = passes[0] === undefined ? 0 : dayNumber(passes[0].date);
  const statesOf = fieldStates(deps, farmId, timeZone, parts, earliest);
  const states = new Map<string, ReadonlyMap<DayNumber, FieldState>>();
  await inTurn([...daysOf(passes)], async ([fieldId, days]) => {
    const field = known.fields.get(fieldId);
    if (field !== undefined) states.set(fieldId, await statesOf(field, [...days]));
  });
  return passes.map((pass) =>
    passRow(pass, known, states.get(pass.fieldId)?.get(dayNumber(pass.date)) ?? noState('the field is not known')),
  );
};
