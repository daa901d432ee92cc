import { type DayNumber, isoDate } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';

/** What can be odd about weather without being wrong. docs/errors.md has a line for each. */
export const findingCodes = [
  'interpolated',
  'climatology',
  'degraded',
  'crossed',
  'flat',
  'spike',
  'repeated-month',
  'rain-small',
  'rain-large',
  'forecast-old',
  'duplicate',
  'missing-marker',
  'trace',
  'failed-quality',
  'column-unused',
] as const;
export type FindingCode = (typeof findingCodes)[number];

/** One oddity of a weather series: which days, which column, the value met and the limit it is held against. */
export type WeatherFinding = {
  readonly code: FindingCode;
  readonly severity: 'note' | 'warning';
  readonly from: DayNumber;
  readonly to: DayNumber;
  /** Column of the series or of the file; null where the finding is about the whole. */
  readonly column: string | null;
  readonly given: number | null;
  readonly limit: number | null;
};

const RAIN_FILL = ' Mean rain falls as drizzle on every day, so single wet and dry days are lost.';

const rainFill = (column: string): string => (column === 'rainMm' ? RAIN_FILL : '');

/** A difference of temperatures, for readers of either unit. */
const degrees = (c: string): string => (Number.isNaN(Number(c)) ? c : `${c} C (${rounded(1.8 * Number(c), 1)} F)`);

/** Inches to a hundredth, and a trace to a thousandth. */
const rain = (mm: string): string => {
  const inches = Number(mm) / 25.4;
  return Number.isNaN(inches) ? mm : `${mm} mm (${rounded(inches, inches < 0.01 ? 3 : 2)} in)`;
};

type Wording = (column: string, given: string, limit: string) => string;

const wordings: Readonly<Record<FindingCode, Wording>> = {
  interpolated: (column, given) =>
    `${column} was missing on ${given} day(s) and was drawn as a line between its neighbours.${column === 'rainMm' ? ' After a storm that is rain which never fell: enter what did.' : ''}`,
  climatology: (column, given) =>
    `${column} was missing on ${given} day(s) and was filled with what is usual then.${rainFill(column)}`,
  degraded: (column, given) =>
    `The forecast has no ${column} on ${given} day(s); what is usual then stands in. Trust these days less.${rainFill(column)}`,
  crossed: (_, given, limit) =>
    `The lowest temperature lay ${degrees(given)} above the highest; the two were exchanged (allowed up to ${degrees(limit)}).`,
  flat: (column, given, limit) =>
    `${column} is the same on ${given} days in a row (more than ${limit} is unusual). Check the sensor.`,
  spike: (column, given, limit) =>
    `${column} stands ${degrees(given)} off its neighbours (more than ${degrees(limit)} is unusual). Check the value.`,
  'repeated-month': (_, given) => `These days repeat those of the same month in ${given}. Check where they came from.`,
  'rain-small': (_, given) =>
    `Rain is very small (largest day ${rain(given)}). Is it in inches or centimetres, sent as millimetres?`,
  'rain-large': (_, given) =>
    `Rain is very large (mean wet day ${rain(given)}). Is it in tenths of a millimetre, or converted twice from inches?`,
  'forecast-old': (_, given, limit) =>
    `The forecast is ${given} days old (more than ${limit} is old). Fetch a new one.`,
  duplicate: (_, given) => `The same day with the same values stood in the file ${given} times; one was kept.`,
  'missing-marker': (column, given) => `${column}: ${given} cell(s) held a mark for "missing" and count as missing.`,
  trace: (column, given, limit) => `${column}: ${given} trace(s) of rain count as ${rain(limit)} each.`,
  'failed-quality': (column, given) =>
    `${column}: ${given} value(s) that the source itself marked as failed were left out.`,
  'column-unused': (column) => `Column ${column} was left out: it holds no numbers, or names no unit.`,
};

const shown = (value: number | null): string => (value === null ? 'none' : String(rounded(value, 2)));

/**
 * A finding as a sentence for people, with its dates.
 * @example findingSentence({ code: 'flat', severity: 'warning', from: 0, to: 10, column: 'tempMaxC', given: 11, limit: 9 })
 * // '1970-01-01 to 1970-01-11: tempMaxC is the same on 11 days in a row (more than 9 is unusual). Check the sensor.'
 */
export const findingSentence = (finding: WeatherFinding): string => {
  const { code, from, to, column, given, limit } = finding;
  const when = from === to ? isoDate(from) : `${isoDate(from)} to ${isoDate(to)}`;
  return `${when}: ${wordings[code](column ?? 'weather', shown(given), shown(limit))}`;
};
