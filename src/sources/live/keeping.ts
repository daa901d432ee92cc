import { type DayNumber, dayNumber, isoDate } from '../../core/base/day.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';
import { putBounded } from './bounded.ts';
import type { Given } from './client.ts';
import type { Attribution, Fetched, LiveSource, Span } from './contract.ts';
import { civilDay, cut, joined, spanOf } from './days.ts';
import { isFailure, outside } from './failure.ts';

/** What an adapter has to know: where the place lies in its terms, and how to ask for it. */
export type Adapter = {
  readonly id: string;
  readonly gives: LiveSource['gives'];
  readonly attribution: Attribution;
  /** Names the cell or station; questions about the same one share what is kept. @throws Failure 'source-outside' */
  readonly place: (site: Site, station: string | undefined) => string;
  /** @throws Failure */
  readonly ask: (place: string, site: Site, span: Span) => Promise<Given<DailyWeather>>;
};

/** Years of days a place against weeks of them: what is kept stays below some 100 MB. */
const MOST_PLACES = { observed: 200, forecast: 5_000, both: 5_000 } as const;
/** A forecast that began longer ago is old, however lately the source repeated it. */
const MOST_FORECAST_AGE_DAYS = 2;
const MOST_SPAN_DAYS = 60 * 366;

const isSpan = ({ from, to }: Span): boolean =>
  Number.isInteger(from) && Number.isInteger(to) && from <= to && to - from < MOST_SPAN_DAYS;

/** All that is known of a place, and the answer that came last, so that the same one is not joined twice. */
type Kept = Given<DailyWeather> & { readonly latest: DailyWeather };

/** A source that answers with the last good weather of a place, marked stale, when it cannot be asked. */
export const keeping = (adapter: Adapter, nowMs: () => number): LiveSource => {
  const { id, gives, attribution } = adapter;
  const keptByPlace = new Map<string, Kept>();

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
    if (!isSpan(span)) throw outside(id, `days ${span.from} to ${span.to}`, 'a first day and a last day not before it');
    const place = adapter.place(site, station);
    const today = civilDay(nowMs(), site.timeZone);
    const kept = keptByPlace.get(place);
    try {
      const given = await adapter.ask(place, site, span);
      const before = keptByPlace.get(place);
      const isNew = before?.latest !== given.value;
      const value = before === undefined ? given.value : isNew ? joined(before.value, given.value) : before.value;
      putBounded(
        keptByPlace,
        place,
        { value, fetchedAtMs: given.fetchedAtMs, latest: given.value },
        MOST_PLACES[gives],
      );
      const found = answer(given, span, false, today);
      if (found !== null) return found;
      const has = spanOf(given.value);
      throw outside(id, 'days of which it knows no temperature', `days of ${isoDate(has.from)} to ${isoDate(has.to)}`);
    } catch (thrown) {
      const last = isFailure(thrown) && kept !== undefined ? answer(kept, span, true, today) : null;
      if (last === null) throw thrown;
      return last;
    }
  };
  return { id, gives, attribution, fetchWeather };
};
