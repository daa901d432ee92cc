import { type DayNumber, dayNumber } from '../core/base/day.ts';
import { isWhitethreadError } from '../core/base/errors.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Deps, FieldTomorrow, Who } from './contract.ts';
import {
  allRecords,
  type FarmParts,
  farmParts,
  fieldInput,
  type Kept,
  plantingOn,
  removedRecord,
  stationIdOf,
  weatherFrom,
} from './gather.ts';
import { inTurn } from './inTurn.ts';
import { mayI } from './keys.ts';
import type { CountRecord, CrewRecord, FieldRecord, PassRecord } from './records/schema.ts';
import { readFarm } from './records.ts';
import { ofServer } from './tomorrow.ts';
import { stationWeather } from './weather.ts';
import { dateAt } from './zone.ts';

/** One pass as a certifier reads it. What is not known is null. */
export type PassRow = {
  readonly date: string;
  readonly field: string;
  readonly areaHa: number | null;
  readonly operation: string;
  readonly implement: string;
  readonly operator: string | null;
  readonly depthCm: number | null;
  readonly crop: string | null;
  readonly cropStage: string | null;
  readonly tempMaxC: number | null;
  readonly tempMinC: number | null;
  readonly rainMm: number | null;
  /** Species with the stage that most of their living weeds are at, as the model has them. */
  readonly weedsExpected: string | null;
  /** Counts from three days before to three days after. */
  readonly weedsCounted: string | null;
  readonly note: string | null;
};

/** Counts so many days off belong to a pass. */
const COUNTED_WITHIN_DAYS = 3;

type Known = {
  readonly fields: ReadonlyMap<string, Kept<FieldRecord>>;
  readonly machines: ReadonlyMap<string, string>;
  readonly crews: ReadonlyMap<string, string>;
  readonly counts: readonly Kept<CountRecord>[];
  /** The crop that was in a field, as its plantings say. */
  readonly cropOn: (fieldId: string, day: DayNumber) => string | null;
};

const countedText = (counts: Known['counts'], fieldId: string, day: DayNumber): string | null => {
  const near = counts.filter(
    ({ data }) => data.fieldId === fieldId && Math.abs(dayNumber(data.date) - day) <= COUNTED_WITHIN_DAYS,
  );
  return near.length === 0
    ? null
    : near
        .map(({ data }) => `${data.date} ${data.species} ${data.perM2}/m2${data.stage ? ` ${data.stage}` : ''}`)
        .join('; ');
};

/** What stood in the field that morning, from the stages that the day's windows speak of. */
const expectedText = ({ field }: FieldTomorrow): string | null => {
  const day = field.windowDays.find(({ byStage }) => byStage.length > 0);
  if (day === undefined) return null;
  const species = day.bySpecies.map(({ species: id }) => id).join(' ');
  const stages = day.byStage
    .filter(({ stockFrac }) => stockFrac > 0)
    .map(({ stage, stockFrac }) => `${stage} ${(100 * stockFrac).toFixed(1)} %`);
  return [species, ...stages].join('; ');
};

type Day = { readonly weather: DailyWeather; readonly told: FieldTomorrow | null };

/** The state of fields on the mornings of passes; a station is asked once for all of them. */
const states = (deps: Deps, farmId: string, timeZone: string, parts: FarmParts, earliest: DayNumber) => {
  const today = dayNumber(dateAt(deps.nowMs(), timeZone));
  const asking = new Map<string, Promise<DailyWeather | null>>();
  const weatherOf = (stationId: string): Promise<DailyWeather | null> => {
    const found =
      asking.get(stationId) ??
      stationWeather(deps, farmId, stationId, weatherFrom(earliest, null), today)
        .then(({ weather }) => weather)
        .catch(ours);
    asking.set(stationId, found);
    return found;
  };
  /** Null where the weather is not known. */
  return async (field: Kept<FieldRecord>, on: DayNumber): Promise<Day | null> => {
    const stationId = nearestStation(field, parts);
    const weather = stationId === null ? null : await weatherOf(stationId);
    if (weather === null) return null;
    const before = { ...parts, passes: parts.passes.filter(({ data }) => dayNumber(data.date) < on) };
    const input = fieldInput(field, before, weather, { timeZone, on, days: 0 });
    return { weather, told: await deps.compute.tomorrow(input).catch(ours) };
  };
};

const nearestStation = (field: Kept<FieldRecord>, parts: FarmParts): string | null => {
  try {
    return stationIdOf(field.data, parts.stations);
  } catch (error) {
    return ours(error);
  }
};

/** What cannot be told stays empty; a fault of the program, or a server that is too busy, is no reason for that. */
const ours = (error: unknown): null => {
  if (isWhitethreadError(error) && !ofServer.has(error.code) && error.code !== 'timed-out') return null;
  throw error;
};

const rowOf = (pass: PassRecord, known: Known, state: Day | null): PassRow => {
  const field = known.fields.get(pass.fieldId);
  const day = dayNumber(pass.date);
  const i = state === null ? -1 : day - dayNumber(state.weather.startDate);
  const told = state?.told ?? null;
  return {
    date: pass.date,
    field: field?.data.name ?? `removed field ${pass.fieldId}`,
    areaHa: field?.data.areaHa ?? null,
    operation: pass.implement === 'seedbed' ? 'seedbed cultivation' : 'weed control',
    implement: (pass.machineId === undefined ? undefined : known.machines.get(pass.machineId)) ?? pass.implement,
    operator: (pass.crewId === undefined ? undefined : known.crews.get(pass.crewId)) ?? null,
    depthCm: pass.depthCm ?? null,
    crop: told?.field.crop?.crop ?? known.cropOn(pass.fieldId, day),
    cropStage: told?.field.crop?.stageToday ?? null,
    tempMaxC: state?.weather.tempMaxC[i] ?? null,
    tempMinC: state?.weather.tempMinC[i] ?? null,
    rainMm: state?.weather.rainMm[i] ?? null,
    weedsExpected: told === null ? null : expectedText(told),
    weedsCounted: countedText(known.counts, pass.fieldId, day),
    note: pass.note ?? null,
  };
};

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
  const parts = await farmParts(deps.store, farmId);
  const passes = parts.passes
    .map(({ data }) => data)
    .filter(({ date }) => date >= (span.from ?? '') && date <= (span.to ?? '9999'))
    .toSorted((a, b) => (a.date + a.fieldId < b.date + b.fieldId ? -1 : 1));
  const known: Known = {
    fields: await fieldsOf(deps, farmId, parts, passes),
    machines: named(parts.machines),
    crews: named(await allRecords<CrewRecord>(deps.store, farmId, 'crew')),
    counts: await allRecords<CountRecord>(deps.store, farmId, 'count'),
    cropOn: (fieldId, day) => plantingOn(parts.plantings, fieldId, day, day)?.data.crop ?? null,
  };
  const earliest = passes[0] === undefined ? 0 : dayNumber(passes[0].date);
  const stateOn = states(deps, farmId, timeZone, parts, earliest);
  return inTurn(passes, async (pass) => {
    const field = known.fields.get(pass.fieldId);
    return rowOf(pass, known, field === undefined ? null : await stateOn(field, dayNumber(pass.date)));
  });
};
