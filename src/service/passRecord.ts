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
  const known = await knownOf(deps, farmId, parts, passes);
  const stations = await stationLives(deps.store, farmId, timeZone);
  const allDays = passes.map(({ date }) => dayNumber(date));
  const statesOf = fieldStates(deps, farmId, timeZone, parts, stations, allDays);
  const states = new Map<string, ReadonlyMap<DayNumber, FieldState>>();
  await inTurn([...daysOf(passes)], async ([fieldId, days]) => {
    const field = known.fields.get(fieldId);
    if (field !== undefined) states.set(fieldId, await statesOf(field, [...days]));
  });
  return passes.map((pass) =>
    passRow(pass, known, states.get(pass.fieldId)?.get(dayNumber(pass.date)) ?? noState('the field is not known')),
  );
};
