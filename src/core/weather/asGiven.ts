import { dayNumber, isoDate } from '../base/day.ts';
import { sixDigits } from '../base/numbers.ts';

/** Names the place of a value in what the caller gave: a row of the series, a line of a file. */
export type WhereOf = (index: number, column: string) => string;

/** A unit that values were given in, and the way to it from ours. */
export type GivenUnit = { readonly name: string; readonly fromOurs: (value: number) => number };

/** How a series was given, so that what is wrong is told in the caller's own terms. Columns without a unit are in ours. */
export type AsGiven = { readonly whereOf: WhereOf; readonly unitOf?: (column: string) => GivenUnit | undefined };

/** The default place: row and date. @example whereInSeries('2020-01-01')(2, 'rainMm') // 'weather.rainMm[2] (2020-01-03)' */
export const whereInSeries =
  (startDate: string): WhereOf =>
  (index, column) =>
    `weather.${column}[${index}] (${isoDate(dayNumber(startDate) + index)})`;

/**
 * A value of ours as the number that was given; six decimals are more than any instrument has, but where they leave nothing
 * of it.
 * @example givenNumber(1000, { name: 'km', fromOurs: (value) => value / 1000 }) // 1
 */
export const givenNumber = (value: number, { fromOurs }: GivenUnit): number => {
  const given = fromOurs(value);
  const told = sixDigits(given);
  return Number.isFinite(told) && told !== 0 ? told : given;
};
