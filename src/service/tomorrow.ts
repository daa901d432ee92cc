import { isWhitethreadError } from '../core/base/errors.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Kept } from './allRecords.ts';
import { tomorrowOf } from './answer.ts';
import type { Credited, Deps, FieldTomorrow, Who } from './contract.ts';
import { together } from './credited.ts';
import { farmParts } from './gather.ts';
import { type Asked, gatherer, type Ready } from './gatherer.ts';
import { inTurn } from './inTurn.ts';
import { mayI } from './keys.ts';
import { ofServer } from './ofServer.ts';
import type { FieldRecord } from './records/schema.ts';
import { readFarm, readRecord } from './records.ts';
import type { TomorrowAnswer } from './schema.ts';
import { dateAt } from './zone.ts';

type Field = Kept<FieldRecord>;
type Told = { readonly ready: Ready; readonly tomorrow: FieldTomorrow };
type Failed = TomorrowAnswer['failed'][number];

/** What can be told of a field, or why nothing can: one field never sinks the farm. */
const told = async (
  deps: Deps,
  gather: (field: Field) => Promise<Ready>,
  field: Field,
): Promise<Told | { readonly failed: Failed }> => {
  try {
    const ready = await gather(field);
    const tomorrow = await deps.compute.tomorrow(ready.input);
    return { ready, tomorrow: { ...tomorrow, field: { id: field.id, ...tomorrow.field, remarks: [...ready.notes] } } };
  } catch (error) {
    if (!isWhitethreadError(error) || ofServer.has(error.code)) throw error;
    return { failed: { id: field.id, name: field.data.name, problems: [...error.problems] } };
  }
};

/**
 * The pass windows of every field of a farm, for a day in its own time zone and the days after it.
 * @throws WhitethreadError 'not-found', 'forbidden', 'overloaded'
 */
export const tomorrowOfFarm = async (
  deps: Deps,
  who: Who,
  farmId: string,
  asked: Asked,
): Promise<Credited<TomorrowAnswer>> => {
  mayI(who, 'reader', farmId);
  const farm = await readFarm(deps, farmId);
  const parts = await farmParts(deps, farmId);
  const gather = gatherer(deps, farmId, farm, parts, asked);
  const all = await inTurn(parts.fields, (field) => told(deps, gather, field));
  const done = all.filter((one) => 'ready' in one);
  const notes = [...new Set(done.flatMap(({ ready }) => ready.notes))];
  const head = {
    name: farm.name,
    invented: farm.invented === true,
    timeZone: farm.timeZone,
    today: asked.on ?? dateAt(deps.nowMs(), farm.timeZone),
    remarks: notes,
  };
  return {
    answer: tomorrowOf(
      head,
      done.map(({ tomorrow }) => tomorrow),
      all.flatMap((one) => ('failed' in one ? [one.failed] : [])),
    ),
    credits: together(done.flatMap(({ ready }) => ready.credits)),
    notes,
  };
};

/** The request that a stored field's outlook is computed from, and whose weather it stands on. @throws as `tomorrowOfFarm` */
export const storedField = async (
  deps: Deps,
  who: Who,
  farmId: string,
  fieldId: string,
  asked: Asked,
): Promise<Credited<FieldInput>> => {
  mayI(who, 'reader', farmId);
  const farm = await readFarm(deps, farmId);
  const row = await readRecord(deps, farmId, 'field', fieldId);
  const parts = await farmParts(deps, farmId);
  const gather = gatherer(deps, farmId, farm, parts, asked);
  const { input, credits, notes } = await gather({ id: fieldId, data: JSON.parse(row.text) as FieldRecord });
  return { answer: input, credits: together(credits), notes };
};
