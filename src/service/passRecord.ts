import { type DayNumber, dayNumber } from '../core/base/day.ts';
import { allRecords } from './allRecords.ts';
import type { Deps, Who } from './contract.ts';
import { standingOn } from './cropping.ts';
import { type FarmParts, farmParts } from './gather.ts';
import { inTurn } from './inTurn.ts';
import { mayI } from './keys.ts';
import { countsByDay, type Known, type PassRow, passRow } from './passRow.ts';
import { type FieldState, fieldStates, noState } from './passStates.ts';
import type { CountRecord, CrewRecord, PassRecord } from './records/schema.ts';
import { readFarm } from './records.ts';
import { alsoRemoved } from './removed.ts';
import { stationLives } from './stationsThen.ts';

/** By field, the days of its passes in order, each once. */
const daysOf = (passes: readonly PassRecord[]): Map<string, Set<DayNumber>> => {
  const found = new Map<string, Set<DayNumber>>();
  for (const { fieldId, date } of passes)
    found.set(fieldId, (found.get(fieldId) ?? new Set<DayNumber>()).add(dayNumber(date)));
  return found;
};

/** What passes name besides the state of their fields; what is gone since as it last stood, for the record stays as written. */
const knownOf = async (
  { store }: Pick<Deps, 'store'>,
  farmId: string,
  parts: FarmParts,
  passes: readonly PassRecord[],
): Promise<Known> => {
  const ids = (name: 'fieldId' | 'machineId' | 'crewId') => passes.map((pass) => pass[name]);
  const crews = await allRecords<CrewRecord>(store, farmId, 'crew');
  return {
    fields: await alsoRemoved(store, farmId, 'field', parts.fields, ids('fieldId')),
    machines: await alsoRemoved(store, farmId, 'machine', parts.machines, ids('machineId')),
    crews: await alsoRemoved(store, farmId, 'crew', crews, ids('crewId')),
    counts: countsByDay(await allRecords<CountRecord>(store, farmId, 'count')),
    cropsOn: (fieldId, day) => standingOn(parts.plantings, fieldId, day).map(({ data }) => data.crop),
  };
};

/** A row with the records that it tells of: fields may share a name. */
export type RecordedPass = PassRow & { readonly passId: string; readonly fieldId: string };

/**
 * Every pass from one date to another, oldest first, with what was known that day.
 * @throws WhitethreadError 'not-found', 'forbidden', 'overloaded', 'timed-out'
 */
export const passRecord = async (
  deps: Deps,
  who: Who,
  farmId: string,
  span: { readonly from?: string | undefined; readonly to?: string | undefined },
): Promise<readonly RecordedPass[]> => {
  mayI(who, 'reader', farmId);
  const { timeZone } = await readFarm(deps, farmId);
  const parts = await farmParts(deps, farmId);
  const recorded = parts.passes
    .filter(({ data: { date } }) => date >= (span.from ?? '') && date <= (span.to ?? '9999'))
    .toSorted(({ data: a }, { data: b }) => (a.date + a.fieldId < b.date + b.fieldId ? -1 : 1));
  const passes = recorded.map(({ data }) => data);
  const known = await knownOf(deps, farmId, parts, passes);
  const stations = await stationLives(deps.store, farmId, timeZone);
  const allDays = passes.map(({ date }) => dayNumber(date));
  const statesOf = fieldStates(deps, farmId, timeZone, parts, stations, allDays);
  const states = new Map<string, ReadonlyMap<DayNumber, FieldState>>();
  await inTurn([...daysOf(passes)], async ([fieldId, days]) => {
    const field = known.fields.get(fieldId);
    if (field !== undefined) states.set(fieldId, await statesOf(field, [...days]));
  });
  return recorded.map(({ id, data: pass }) => {
    const { fieldId, date } = pass;
    const state = states.get(fieldId)?.get(dayNumber(date)) ?? noState('the field is not known');
    return { passId: id, fieldId, ...passRow(pass, known, state) };
  });
};
