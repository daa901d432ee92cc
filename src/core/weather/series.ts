import type { DayNumber } from '../base/day.ts';

/**
 * Gapless daily weather, ready for the loops. Columns all have `days` entries. NaN in an optional column means
 * "not measured that day". `origin` holds the index into `dayOrigins`.
 */
export type WeatherDays = {
  readonly startDay: DayNumber;
  readonly days: number;
  readonly tempMaxC: Float64Array;
  readonly tempMinC: Float64Array;
  readonly rainMm: Float64Array;
  readonly solarMjPerM2: Float64Array;
  readonly windMPerS: Float64Array;
  readonly humidityFrac: Float64Array;
  readonly origin: Uint8Array;
  /** 1 where rain was neither measured nor forecast, and what is usual then stands in. */
  readonly rainFilled: Uint8Array;
};
