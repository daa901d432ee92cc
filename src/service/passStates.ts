import { type DayNumber, dayNumber, isoDate } from '../core/base/day.ts';
import { isWhitethreadError, type WhitethreadError } from '../core/base/errors.ts';
import type { Morning } from '../core/outlook/outlook.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Kept } from './allRecords.ts';
import type { Deps } from './contract.ts';
import { standingOn } from './cropping.ts';
import { farNotes, firstWithWeather, type Standing } from './fieldStation.ts';
import { type FarmParts, fieldInput, unreached, weatherFrom } from './gather.ts';
import { runs } from './passRuns.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';
import { type StationLife, stationsThen } from './stationsThen.ts';
import { ofServer } from './tomorrow.ts';
import { stationWeather } from './weather.ts';
import { dateAt } from './zone.ts';

/** A field on the morning of a pass. What is not known is null; `unknown` says why, and what is known less well. */
export type FieldState = {
  readonly weather: DailyWeather | null;
  readonly morning: Morning | null;
  readonly unknown: readonly string[];
};

type Field = Kept<FieldRecord>;

/** Nothing is known. */
export const noState = (unknown: string): FieldState => ({ weather: null, morning: null, unknown: [unknown] });

/** What is wrong with the farm's data leaves cells empty; a fault of the program, or a server too busy, is no reason for that. */
const ours = (error: unknown): WhitethreadError => {
  if (isWhitethreadError(error) && !ofServer.has(error.code) && error.code !== 'timed-out') return error;
  throw error;
};

const UNREACHED = 'Post the weather of that day, or have the station name a source';

/**
 * The state of a field on the mornings of passes; a station is asked once for all of them.
 * @param stations every station that the farm has or had
 */
export const fieldStates = (
  deps: Deps,
  farmId: string,
  timeZone: string,
  parts: FarmParts,
  stations: readonly StationLife[],
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
    return mornings.map((morning) => ({ weather, morning, unknown: [] }));
  };

  /** What is wrong before a later day must not empty an earlier one: then each is asked for alone. */
  const toldApart = async (field: Field, days: readonly DayNumber[], weather: DailyWeather): Promise<FieldState[]> => {
    try {
      return await told(field, days, weather);
    } catch (error) {
      const { message } = ours(error);
      if (days.length === 1) return [{ weather, morning: null, unknown: [message] }];
      const states: FieldState[] = [];
      for (const day of days) states.push(...(await toldApart(field, [day], weather)));
      return states;
    }
  };

  /** Days by the station that they stand on; of those that stand on none, why. */
  const standingsOf = async (field: Field, days: readonly DayNumber[]) => {
    const stationsOn = await stationsThen(deps.store, farmId, timeZone, field, stations);
    const standings = new Map<string, Standing<DailyWeather> & { readonly days: DayNumber[] }>();
    const none = new Map<DayNumber, FieldState>();
    for (const day of days)
      try {
        const standing = await firstWithWeather(field.data, stationsOn(day), async (station) => {
          const weather = await weatherOf(station);
          const missing = unreached(weather, day, `the pass of ${isoDate(day)}`, UNREACHED);
          if (missing !== null) throw missing;
          return weather;
        });
        const { id } = standing.station;
        standings.set(id, { ...standing, days: [...(standings.get(id)?.days ?? []), day] });
      } catch (error) {
        none.set(day, noState(ours(error).message));
      }
    return { standings: [...standings.values()], none };
  };

  /** @param days in order, each once */
  return async (field: Field, days: readonly DayNumber[]): Promise<ReadonlyMap<DayNumber, FieldState>> => {
    const { standings, none } = await standingsOf(field, days);
    const states = new Map(none);
    for (const { station, weather, days: reached } of standings) {
      const far = farNotes(field.data, station);
      for (const run of runs(parts.plantings, field, reached, weather)) {
        const found = await toldApart(field, run, weather);
        for (const [i, day] of run.entries()) {
          const state = found[i] as FieldState;
          states.set(day, { ...state, unknown: [...far, ...state.unknown] });
        }
      }
    }
    return states;
  };
};
