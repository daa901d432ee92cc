import type { DayNumber } from '../../core/base/day.ts';
import type { DailyWeather, Site } from '../../core/weather/schema.ts';

export type SourceId = 'power' | 'ncei' | 'archive' | 'us-grid' | 'global';

/** The civil days wanted, in the place's own time; both ends belong to it. A source gives what it has of them. */
export type Span = { readonly from: DayNumber; readonly to: DayNumber };

/** What a source says of itself; it travels with every answer that rests on it. */
export type Attribution = {
  readonly source: string;
  /** The credit in the words that its terms ask for. */
  readonly credit: string;
  readonly licence: string;
  readonly url: string;
};

/** Weather that was fetched, as columns. Days that the source forecasts begin at `weather.forecastFrom`. */
export type Fetched = {
  readonly weather: DailyWeather;
  readonly attribution: Attribution;
  /** When the source gave it. */
  readonly fetchedAtMs: number;
  /** True when the source could not be asked and this is the last that it gave. */
  readonly stale: boolean;
};

/**
 * A weather service. Unknown stays null, never zero. Throws WhitethreadErrors only: 'source-unavailable' when it cannot
 * be reached and nothing is kept, 'source-malformed' when what it sent cannot be weather, 'source-outside' when it does
 * not cover the place or the days.
 */
export type LiveSource = {
  readonly id: string;
  /** Whether its days were observed or reanalysed, or forecast, or both with `forecastFrom` between them. */
  readonly gives: 'observed' | 'forecast' | 'both';
  readonly attribution: Attribution;
  /** @param station the source's own name of a station, where it has stations */
  readonly fetchWeather: (site: Site, span: Span, station?: string) => Promise<Fetched>;
};
