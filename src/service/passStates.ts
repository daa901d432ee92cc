import { type DayNumber, dayNumber, isoDate } from '../core/base/day.ts';
import { isWhitethreadError, type WhitethreadError } from '../core/base/errors.ts';
import type { Morning } from '../core/outlook/outlook.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Kept } from './allRecords.ts';
import type { Deps } from './contract.ts';
import { standingOn } from './cropping.ts';
import { fieldStation } from './fieldStation.ts';
import { type FarmParts, fieldInput, unreached, weatherFrom } from './gather.ts';
import { runs } from './passRuns.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';
import { ofServer } from './tomorrow.ts';
import { stationWeather } from './weather.ts';
import { dateAt } from './zone.ts';

/** A field on the morning of a pass. What is not known is null, and `unknown` says why. */
export type FieldState = {
  readonly weather: DailyWeather | null;
  readonly morning: Morning | null;
  readonly unknown: string | null;
};

type Field = Kept<FieldRecord>;

/** Nothing is known. */
export const noState = (unknown: string): FieldState => ({ weather: null, morning: null, unknown });

/** What is wrong with the farm's data leaves cells empty; a fault of the program, or a server too busy, is no reason for that. */
const ours = (error: unknown): WhitethreadError => {
  if (isWhitethreadError(error) && !ofServer.has(error.code) && error.code !== 'timed-out') return error;
  throw error;
};

const UNREACHED = 'Post the weather of that day, or have the station name a source';

/**
 * The state of a field on the mornings of passes; a station is asked once for all of them.
 * @param stations those of the farm, and removed ones that removed fields name
 */
export const fieldStates = (
  deps: Deps,
  farmId: string,
  timeZone: string,
  parts: FarmParts,
  stations: FarmParts['stations'],
  earliest: DayNumber,
) => {
  const today = dayNumber(dateAt(deps.nowMs(), timeZone));
  const asking = new Map<string, Promise<DailyWeather>>();
  const weatherOf = (station: Kept<StationRecord>): Promise<DailyWeather> => {
    const from = weatherFrom(earliest, [], station.data.latitudeDeg);
    const found =
      asking.get(station.id) ?? stationWeather(deps, farmId, station, from, today).then(({ weather }) => weather);
    asking.set(station.id, found);
    return found;
  };

  const told = async (field: Field, days: readonly DayNumber[], weather: DailyWeather): Promise<FieldState[]> => {
    const on = days.at(-1) as DayNumber;
    const input = fieldInput(field, parts, weather, {
      timeZone,
      on,
      plantings: standingOn(parts.plantings, field.id, on),
      days: 0,
    });
    const mornings = await deps.compute.mornings(input, days.map(isoDate));
    return mornings.map((morning) => ({ weather, morning, unknown: null }));
  };

  /** What is wrong before a later day must not empty an earlier one: then each is asked for alone. */
  const toldApart = async (field: Field, days: readonly DayNumber[], weather: DailyWeather): Promise<FieldState[]> => {
    try {
      return await told(field, days, weather);
    } catch (error) {
      const { message } = ours(error);
      if (days.length === 1) return [{ weather, morning: null, unknown: message }];
      const states: FieldState[] = [];
      for (const day of days) states.push(...(await toldApart(field, [day], weather)));
      return states;
    }
  };

  /** @param days in order, each once */
  return async (field: Field, days: readonly DayNumber[]): Promise<ReadonlyMap<DayNumber, FieldState>> => {
    const states = new Map<DayNumber, FieldState>();
    try {
      const isNamed = field.data.stationId !== undefined;
      const weather = await weatherOf(fieldStation(field.data, isNamed ? stations : parts.stations));
      for (const day of days) {
        const missing = unreached(weather, day, `the pass of ${isoDate(day)}`, UNREACHED);
        if (missing !== null) states.set(day, { weather, morning: null, unknown: missing.message });
      }
      const reached = days.filter((day) => !states.has(day));
      for (const run of runs(parts.plantings, field, reached, weather)) {
        const found = await toldApart(field, run, weather);
        for (const [i, day] of run.entries()) states.set(day, found[i] as FieldState);
      }
    } catch (error) {
      const unknown = noState(ours(error).message);
      for (const day of days) states.set(day, unknown);
    }
    return states;
  };
};
