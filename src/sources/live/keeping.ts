import { type DayNumber, dayNumber, isoDate } from '../../core/base/day.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';
import { putBounded, shared } from './bounded.ts';
import type { Given } from './client.ts';
import type { Attribution, Fetched, LiveSource, SourceId, Span } from './contract.ts';
import { civilDay, cut, joined, spanOf } from './days.ts';
import { isFailure, outside } from './failure.ts';
import type { DaysOf } from './reading.ts';

/** What an adapter has to know: where the place lies in its terms, and how to ask for it. */
export type Adapter = {
  readonly id: SourceId;
  readonly gives: LiveSource['gives'];
  readonly attribution: Attribution;
  /** Names the cell or station; questions about the same one share what is kept. @throws Failure 'source-outside' */
  readonly place: (site: Site, station: string | undefined) => string;
  /** @throws Failure */
  readonly ask: (place: string, site: Site, span: Span) => Promise<Given<DailyWeather>>;
};

/**
 * Where the last answers outlast the process. Nobody waits for it, and what goes wrong with it is its own affair: it
 * gives null, or does not keep.
 */
export type Shelf = {
  readonly taken: (source: SourceId, place: string) => Promise<Given<DailyWeather> | null>;
  /** Keeps what is known of a place, and of the source's places the last `most`. */
  readonly put: (source: SourceId, place: string, known: Given<DailyWeather>, most: number) => void;
};

/** What every source works with. */
export type Means = {
  readonly nowMs: () => number;
  readonly days: DaysOf;
  readonly shelf: Shelf;
  /** Of the places that may be kept, this share. */
  readonly keptFrac: number;
};

/** Years of days a place against weeks of them: what is kept stays below some 100 MB. */
const MOST_PLACES = { observed: 200, forecast: 5_000, both: 5_000 } as const;
/** A forecast that began longer ago is old, however lately the source repeated it. */
const MOST_FORECAST_AGE_DAYS = 2;
const MOST_SPAN_YEARS = 60;
const MOST_SPAN_DAYS = MOST_SPAN_YEARS * 366;

const isSpan = ({ from, to }: Span): boolean =>
  Number.isInteger(from) && Number.isInteger(to) && from <= to && to - from < MOST_SPAN_DAYS;

/** Beyond these a number is no day that anyone meant, and may have no date: some 2,700 years around 1970. */
const MOST_DAY = 1_000_000;
const dayText = (day: DayNumber): string =>
  Number.isInteger(day) && Math.abs(day) < MOST_DAY ? isoDate(day) : `day ${day}`;

/** All that is known of a place, and the answers that went into it, so that none is joined twice. */
type Kept = Given<DailyWeather> & { readonly parts: WeakSet<DailyWeather> };

/** What is kept of a source, in memory and, for the time after a restart, on a shelf. */
const memory = ({ id, gives }: Adapter, { shelf, keptFrac }: Means) => {
  const most = Math.ceil(keptFrac * MOST_PLACES[gives]);
  const byPlace = new Map<string, Kept>();
  const once = shared<void>();
  const fetchDown = async (place: string): Promise<void> => {
    const found = await shelf.taken(id, place);
    if (found === null || byPlace.has(place)) return;
    putBounded(byPlace, place, { ...found, parts: new WeakSet([found.value]) }, most);
  };
  /** What is known of a place; never rejects. */
  const recalled = async (place: string): Promise<Kept | undefined> => {
    if (!byPlace.has(place)) await once(place, () => fetchDown(place));
    return byPlace.get(place);
  };
  /** Adds an answer to what is known of a place. */
  const add = (place: string, given: Given<DailyWeather>): void => {
    const before = byPlace.get(place);
    const { value, fetchedAtMs, parts } = before ?? { ...given, parts: new WeakSet([given.value]) };
    const isJoined = parts.has(given.value);
    const after: Kept = {
      value: isJoined ? value : joined(value, given.value),
      fetchedAtMs: Math.max(fetchedAtMs, given.fetchedAtMs),
      parts: parts.add(given.value),
    };
    putBounded(byPlace, place, after, most);
    if (before === undefined || !isJoined || after.fetchedAtMs > fetchedAtMs) shelf.put(id, place, after, most);
  };
  return { recalled, add };
};

/** A source that answers with the last good weather of a place, marked stale, when it cannot be asked. */
export const keeping = (adapter: Adapter, means: Means): LiveSource => {
  const { nowMs } = means;
  const { id, gives, attribution } = adapter;
  const { recalled, add } = memory(adapter, means);

  const answer = (
    { value, fetchedAtMs }: Given<DailyWeather>,
    { from, to }: Span,
    failed: boolean,
    today: DayNumber,
  ): Fetched | null => {
    const weather = cut(value, from, to);
    if (weather === null) return null;
    const isOld = value.forecastFrom !== undefined && today - dayNumber(value.forecastFrom) > MOST_FORECAST_AGE_DAYS;
    return { weather, attribution, fetchedAtMs, stale: failed || isOld };
  };

  const fetchWeather = async (site: Site, span: Span, station?: string): Promise<Fetched> => {
    if (!isSpan(span))
      throw outside(
        id,
        `${dayText(span.from)} to ${dayText(span.to)}`,
        `a first day and a last day not before it, of at most ${MOST_SPAN_YEARS} years`,
      );
    const place = adapter.place(site, station);
    const today = civilDay(nowMs(), site.timeZone);
    const recalling = recalled(place);
    try {
      const given = await adapter.ask(place, site, span);
      await recalling;
      const has = spanOf(given.value);
      // An empty answer must not take the place of what is known.
      if (cut(given.value, has.from, has.to) !== null) add(place, given);
      const found = answer(given, span, false, today);
      if (found !== null) return found;
      throw outside(id, 'days of which it knows no temperature', `days of ${isoDate(has.from)} to ${isoDate(has.to)}`);
    } catch (thrown) {
      const kept = isFailure(thrown) ? await recalling : undefined;
      const last = kept === undefined ? null : answer(kept, span, true, today);
      if (last === null) throw thrown;
      return last;
    }
  };
  return { id, gives, attribution, fetchWeather };
};
