import { type DayNumber, isoDate } from '../core/base/day.ts';
import { isWhitethreadError, type WhitethreadError } from '../core/base/errors.ts';
import type { Morning } from '../core/outlook/outlook.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Span } from '../sources/live/contract.ts';
import type { Kept } from './allRecords.ts';
import type { Deps } from './contract.ts';
import { standingOn } from './cropping.ts';
import { farNotes, firstWithWeather } from './fieldStation.ts';
import { type FarmParts, fieldInput, unreached, weatherBegins } from './gather.ts';
import { ofServer } from './ofServer.ts';
import { runs, spansOf } from './passRuns.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';
import { type StationLife, stationsThen } from './stationsThen.ts';
import { stationWeather } from './weather.ts';

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
 * The state of a field on the mornings of passes; a station is asked once for all of them that are near one another.
 * @param stations every station that the farm has or had
 * @param allDays the days of the passes of all fields, in order
 */
export const fieldStates = (
  deps: Deps,
  farmId: string,
  timeZone: string,
  parts: FarmParts,
  stations: readonly StationLife[],
  allDays: readonly DayNumber[],
) => {
  const spans = spansOf(allDays);
  const asking = new Map<string, Promise<DailyWeather>>();
  const weatherOf = (station: Kept<StationRecord>, day: DayNumber): Promise<DailyWeather> => {
    const { from, to } = spans.find((span) => day <= span.to) as Span;
    const begins = weatherBegins(from, [], station.data.latitudeDeg);
    const name = `${station.id} ${from}`;
    const found =
      asking.get(name) ??
      stationWeather(deps, farmId, station, begins, to).then(({ weather, fault }) => {
        // What was forecast long ago is no record, and another station none of a day that this one will tell again.
        if (fault !== undefined) throw fault;
        return weather;
      });
    asking.set(name, found);
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

  /** Days by the weather that they stand on; of those that stand on none, why. */
  const standingsOf = async (field: Field, days: readonly DayNumber[]) => {
    const stationsOn = await stationsThen(deps.store, farmId, timeZone, field, stations);
    const standings = new Map<DailyWeather, { readonly station: Kept<StationRecord>; readonly days: DayNumber[] }>();
    const none = new Map<DayNumber, FieldState>();
    for (const day of days)
      try {
        const { station, weather } = await firstWithWeather(field.data, stationsOn(day), async (one) => {
          const known = await weatherOf(one, day);
          const missing = unreached(known, day, `the pass of ${isoDate(day)}`, UNREACHED);
          if (missing !== null) throw missing;
          return known;
        });
        standings.set(weather, { station, days: [...(standings.get(weather)?.days ?? []), day] });
      } catch (error) {
        none.set(day, noState(ours(error).message));
      }
    return { standings, none };
  };

  /** @param days in order, each once */
  return async (field: Field, days: readonly DayNumber[]): Promise<ReadonlyMap<DayNumber, FieldState>> => {
    const { standings, none } = await standingsOf(field, days);
    const states = new Map(none);
    for (const [weather, { station, days: reached }] of standings) {
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
