import { type DayNumber, dayNumber } from '../core/base/day.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Kept } from './allRecords.ts';
import type { Deps } from './contract.ts';
import { croppingOf, datesOf, overdue, standTogether } from './cropping.ts';
import { farNotes, fieldStations, firstWithWeather, standInNotes } from './fieldStation.ts';
import { type FarmParts, fieldInput, unreached, weatherBegins } from './gather.ts';
import { centroid } from './place.ts';
import type { FarmRecord, FieldRecord, StationRecord } from './records/schema.ts';
import { type StationWeather, stationWeather } from './weather.ts';
import { dateAt } from './zone.ts';

/** Which day counts as today, and how many days after it are asked for. */
export type Asked = { readonly on?: string | undefined; readonly days: number };

/** A field that can be computed, and what is to be told of its weather. */
export type Ready = Pick<StationWeather, 'credits' | 'notes'> & { readonly input: FieldInput };

const UNREACHED = 'Ask for another day, post the weather of this one, or have the station name a source';

/** Gathers fields for one question; a station's weather is asked for once, however many fields it stands for. */
export const gatherer = (deps: Deps, farmId: string, farm: FarmRecord, parts: FarmParts, asked: Asked) => {
  const today = dateAt(deps.nowMs(), farm.timeZone);
  const on: DayNumber = dayNumber(asked.on ?? today);
  const asking = new Map<string, Promise<StationWeather>>();
  const weatherOf = (station: Kept<StationRecord>, from: DayNumber): Promise<StationWeather> => {
    const name = `${station.id} ${from}`;
    const found = asking.get(name) ?? stationWeather(deps, farmId, station, from, on);
    asking.set(name, found);
    return found;
  };
  return async (field: Kept<FieldRecord>): Promise<Ready> => {
    const cropping = croppingOf(parts.plantings, field.id, on, asked.days);
    const from = weatherBegins(on, datesOf(cropping.plantings), centroid(field.data.geometry).latitudeDeg);
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
