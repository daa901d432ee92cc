import type { DayNumber } from '../core/base/day.ts';
import { isWhitethreadError, type WhitethreadError, whitethreadError } from '../core/base/errors.ts';
import type { DailyWeather, Site } from '../core/weather/schema.ts';
import type { Fetched, LiveSource } from '../sources/live/contract.ts';
import type { Store } from '../store/contract.ts';
import type { Kept } from './allRecords.ts';
import type { Credit, Deps } from './contract.ts';
import { AHEAD_DAYS } from './gather.ts';
import { asForecastFrom, joined, knownUntil } from './joined.ts';
import type { StationRecord } from './records/schema.ts';
import { readFarm, readRecord } from './records.ts';
import { dateAt } from './zone.ts';

/** The place of a station. */
export const siteOf = ({ latitudeDeg, longitudeDeg, elevationM }: StationRecord, timeZone: string): Site => ({
  latitudeDeg,
  longitudeDeg,
  elevationM,
  timeZone,
});

/** A farm's station. @throws WhitethreadError 'not-found' */
export const stationFor = async (
  deps: { readonly store: Pick<Store, 'read'> },
  farmId: string,
  id: string,
): Promise<StationRecord> => JSON.parse((await readRecord(deps, farmId, 'station', id)).text) as StationRecord;

type Part = { readonly weather: DailyWeather | null; readonly credits: readonly Credit[] };

const fetchedPart = ({ weather, attribution, fetchedAtMs, stale }: Fetched): Part => ({
  weather,
  credits: [{ ...attribution, fetchedAt: new Date(fetchedAtMs).toISOString(), stale }],
});

/** Where weather comes from: the place, who observed and who forecasts it, and how to find what was posted. */
export type Origin = Pick<StationRecord, 'name' | 'forecast' | 'sourceStation'> & {
  readonly observed: StationRecord['observed'] | 'none';
  readonly site: Site;
  readonly posted: () => Promise<DailyWeather | null>;
};

const observedPart = async (
  { sources }: Pick<Deps, 'sources'>,
  { site, observed, sourceStation, posted }: Origin,
  span: { readonly from: DayNumber; readonly to: DayNumber },
): Promise<Part> => {
  if (observed === 'none') return { weather: null, credits: [] };
  if (observed === 'posted') return { weather: await posted(), credits: [] };
  const source = sources[observed];
  if (source === undefined) return { weather: null, credits: [] };
  return fetchedPart(await source.fetchWeather(site, span, sourceStation));
};

/** Sources that a station names and this server does not ask. */
const unasked = ({ sources }: Pick<Deps, 'sources'>, { observed, forecast }: Origin): string[] =>
  [observed, forecast].filter((name) => name !== 'posted' && name !== 'none' && sources[name] === undefined);

const noWeather = (deps: Pick<Deps, 'sources'>, origin: Origin) => {
  const silent = unasked(deps, origin);
  return whitethreadError([
    {
      code: 'weather-empty',
      where: `weather of ${origin.name}`,
      given: silent.length === 0 ? 'no weather' : `${silent.join(' and ')}, which this server does not ask`,
      allowed: 'daily weather from before planting until today',
      advice:
        silent.length === 0
          ? 'Post a series, or choose a source for the station'
          : 'Have the operator turn the source on (docs/operations.md), or give the station `observed`: `posted` and post a series',
    },
  ]);
};

const sourceFault = (error: unknown): WhitethreadError => {
  if (isWhitethreadError(error)) return error;
  throw error;
};

/** What is missing from the weather of a station although its record asks for it. */
const notesOf = (
  { name, observed, forecast }: Origin,
  past: Part | WhitethreadError,
  forecaster: LiveSource | undefined,
  ahead: Fetched | WhitethreadError | undefined,
): string[] => [
  ...(isWhitethreadError(past) ? [`No observations from ${observed}: ${past.message}; all days are forecast`] : []),
  ...(!isWhitethreadError(past) && past.weather === null
    ? [`No observed weather of ${name} (${observed === 'none' ? 'nobody was named' : observed}): all days are forecast`]
    : []),
  ...(forecast !== 'none' && forecaster === undefined
    ? [`No forecast from ${forecast}: this server does not ask it`]
    : []),
  ...(isWhitethreadError(ahead) ? [`No forecast from ${forecast}: ${ahead.message}`] : []),
];

/** Weather of a station from a day on, and what the reader should know of it. */
export type StationWeather = Part & {
  readonly weather: DailyWeather;
  readonly notes: readonly string[];
  /** What the source of the observations said, where a forecast stands in for all of them. */
  readonly fault?: WhitethreadError | undefined;
};

/**
 * Weather from a day on as one series: what was observed, and the forecast after it. Where one of them cannot be had the
 * answer goes on without and says so; without either there is none. Of a day long past all was observed that it asks for:
 * then there is no word of the forecast.
 * @param on the day that counts as today, which may be past: what was observed after it is told too
 * @throws WhitethreadError 'weather-empty', or what the source of the observations says
 */
export const weatherOf = async (
  deps: Pick<Deps, 'sources'>,
  origin: Origin,
  from: DayNumber,
  on: DayNumber,
): Promise<StationWeather> => {
  const to = on + AHEAD_DAYS;
  const forecaster = origin.forecast === 'none' ? undefined : deps.sources[origin.forecast];
  const [past, ahead] = await Promise.all([
    observedPart(deps, origin, { from, to }).catch(sourceFault),
    // A week back, for sources whose observations come late.
    forecaster?.fetchWeather(origin.site, { from: on - 7, to }).catch(sourceFault),
  ]);
  const observed: Part = isWhitethreadError(past) ? { weather: null, credits: [] } : past;
  if (observed.weather !== null && knownUntil(observed.weather) > to)
    return { ...observed, weather: observed.weather, notes: [] };
  const forecast = ahead === undefined || isWhitethreadError(ahead) ? null : fetchedPart(ahead);
  const base = observed.weather ?? forecast?.weather;
  if (base === null || base === undefined) throw [past, ahead].find(isWhitethreadError) ?? noWeather(deps, origin);
  return {
    weather: observed.weather === null ? base : joined(observed.weather, forecast?.weather ?? null),
    credits: [...observed.credits, ...(forecast?.credits ?? [])],
    notes: notesOf(origin, past, forecaster, ahead),
    fault: isWhitethreadError(past) ? past : undefined,
  };
};

/** The weather of a farm's station, of one that was removed too. @throws as `weatherOf` */
export const stationWeather = async (
  deps: Deps,
  farmId: string,
  { id, data }: Kept<StationRecord>,
  from: DayNumber,
  on: DayNumber,
): Promise<StationWeather> => {
  const { timeZone } = await readFarm(deps, farmId);
  const posted = async (): Promise<DailyWeather | null> => {
    const row = await deps.store.read(farmId, 'weather', id);
    return row === null ? null : asForecastFrom(JSON.parse(row.text) as DailyWeather, dateAt(deps.nowMs(), timeZone));
  };
  return weatherOf(deps, { ...data, site: siteOf(data, timeZone), posted }, from, on);
};
