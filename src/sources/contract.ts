import type { Column } from '../core/weather/columns.ts';
import type { WeatherFinding } from '../core/weather/finding.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { RainUnit, TempUnit } from './units.ts';

/** What every reader of a weather file hands on: one station, a value or null for each day. */
export type WeatherFile = {
  /** As the file names it; null where it names none. */
  readonly station: string | null;
  readonly latitudeDeg: number | null;
  readonly longitudeDeg: number | null;
  readonly weather: DailyWeather;
  /** Further columns of numbers by the header's own names, a value for each day of `weather`, nothing converted. */
  readonly observed: Readonly<Record<string, Column>>;
  readonly findings: readonly WeatherFinding[];
};

/** What a file may leave unsaid. The file's own word goes first. */
export type ReadOptions = {
  /** Units of columns whose header names none. */
  readonly units?: { readonly temp?: TempUnit; readonly rain?: RainUnit };
  /** How 03/04/2020 is meant, where the file alone cannot tell. */
  readonly dateOrder?: 'mdy' | 'dmy';
};
