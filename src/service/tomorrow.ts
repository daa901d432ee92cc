import { type DayNumber, dayNumber } from '../core/base/day.ts';
import { type ErrorCode, isWhitethreadError } from '../core/base/errors.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Kept } from './allRecords.ts';
import { tomorrowOf } from './answer.ts';
import type { Credit, Credited, Deps, FieldTomorrow, Who } from './contract.ts';
import { croppingOf, datesOf, overdue, standTogether } from './cropping.ts';
import { farNotes, fieldStations, firstWithWeather, standInNotes } from './fieldStation.ts';
import { type FarmParts, farmParts, fieldInput, unreached, weatherFrom } from './gather.ts';
import { inTurn } from './inTurn.ts';
import { mayI } from './keys.ts';
import { centroid } from './place.ts';
import type { FarmRecord, FieldRecord, StationRecord } from './records/schema.ts';
import { readFarm, readRecord } from './records.ts';
import type { TomorrowAnswer } from './schema.ts';
import { type StationWeather, stationWeather } from './weather.ts';
import { dateAt } from './zone.ts';

/** Which day counts as today, and how many days after it are asked for. */
export type Asked = { readonly on?: string | undefined; readonly days: number };

type Field = Kept<FieldRecord>;
type Ready = Pick<StationWeather, 'credits' | 'notes'> & { readonly input: FieldInput };

/** Each source once, however many stations it served, as old as for the station for which it is oldest. */
export const together = (credits: readonly Credit[]): Credit[] => {
  const bySource = new Map<string, Credit>();
  for (const credit of credits) {
    const other = bySource.get(credit.source) ?? credit;
    const older = credit.fetchedAt < other.fetchedAt ? credit : other;
    bySource.set(credit.source, { ...older, stale: credit.stale || other.stale });
  }
  return [...bySource.values()];
};

const UNREACHED = 'Ask for another day, post the weather of this one, or have the station name a source';

/** Gathers fields for one question; a station's weather is asked for once, however many fields it stands for. */
const gatherer = (deps: Deps, farmId: string, farm: FarmRecord, parts: FarmParts, asked: Asked) => {
  const today = dateAt(deps.nowMs(), farm.timeZone);
  const on: DayNumber = dayNumber(asked.on ?? today);
  const asking = new Map<string, Promise<StationWeather>>();
  const weatherOf = (station: Kept<StationRecord>, from: DayNumber): Promise<StationWeather> => {
    const name = `${station.id} ${from}`;
    const found = asking.get(name) ?? stationWeather(deps, farmId, station, from, on);
    asking.set(name, found);
    return found;
  };
  return async (field: Field): Promise<Ready> => {
    const cropping = croppingOf(parts.plantings, field.id, on, asked.days);
    const from = weatherFrom(on, datesOf(cropping.plantings), centroid(field.data.geometry).latitudeDeg);
    const stations = fieldStations(field.data, parts.stations);
    const { station, weather, stopped } = await firstWithWeather(field.data, stations, async (one) => {
      const found = await weatherOf(one, from);
      const missing = unreached(found.weather, on, 'the day that is asked for', UNREACHED);
      if (missing !== null) throw missing;
      return found;
    });
    const question = { ...cropping, timeZone: farm.timeZone, on };
    const { plantings, note } = cropping;
    const told = [standTogether(plantings), note, ...plantings.map((planting) => overdue(planting, on))];
    const notes = told.flatMap((text) => (text === null ? [] : [`${field.data.name}: ${text}`]));
    return {
      input: fieldInput(field, parts, weather.weather, question),
      credits: weather.credits,
      notes: [
        ...weather.notes,
        ...standInNotes(field.data, station, stopped),
        ...farNotes(field.data, station),
        ...notes,
      ],
    };
  };
};

type Told = { readonly ready: Ready; readonly tomorrow: FieldTomorrow };
type Failed = TomorrowAnswer['failed'][number];

/** Faults of the moment, not of the field: the same question has an answer later. */
export const ofServer: ReadonlySet<ErrorCode> = new Set(['overloaded', 'store-unavailable']);

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
