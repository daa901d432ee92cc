import { type DayNumber, dayNumber } from '../core/base/day.ts';
import { isWhitethreadError, type WhitethreadError } from '../core/base/errors.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Deps, FieldTomorrow } from './contract.ts';
import { type FarmParts, fieldInput, type Kept, stationIdOf, weatherFrom } from './gather.ts';
import type { FieldRecord } from './records/schema.ts';
import { ofServer } from './tomorrow.ts';
import { stationWeather } from './weather.ts';
import { dateAt } from './zone.ts';

/** A field on the morning of a pass. What is not known is null, and `unknown` says why. */
export type FieldState = {
  readonly weather: DailyWeather | null;
  readonly told: FieldTomorrow | null;
  readonly unknown: string | null;
};

/** Nothing is known. */
export const noState = (unknown: string): FieldState => ({ weather: null, told: null, unknown });

/** What is wrong with the farm's data leaves cells empty; a fault of the program, or a server too busy, is no reason for that. */
const ours = (error: unknown): WhitethreadError => {
  if (isWhitethreadError(error) && !ofServer.has(error.code) && error.code !== 'timed-out') return error;
  throw error;
};

/** The state of fields on the mornings of passes; a station is asked once for all of them. */
export const fieldStates = (deps: Deps, farmId: string, timeZone: string, parts: FarmParts, earliest: DayNumber) => {
  const today = dayNumber(dateAt(deps.nowMs(), timeZone));
  const asking = new Map<string, Promise<DailyWeather>>();
  const weatherOf = (stationId: string): Promise<DailyWeather> => {
    const from = weatherFrom(earliest, null);
    const found =
      asking.get(stationId) ?? stationWeather(deps, farmId, stationId, from, today).then(({ weather }) => weather);
    asking.set(stationId, found);
    return found;
  };
  return async (field: Kept<FieldRecord>, on: DayNumber): Promise<FieldState> => {
    let weather: DailyWeather | null = null;
    try {
      weather = await weatherOf(stationIdOf(field.data, parts.stations));
      const before = { ...parts, passes: parts.passes.filter(({ data }) => dayNumber(data.date) < on) };
      const input = fieldInput(field, before, weather, { timeZone, on, days: 0 });
      return { weather, told: await deps.compute.tomorrow(input), unknown: null };
    } catch (error) {
      return { weather, told: null, unknown: ours(error).message };
    }
  };
};
