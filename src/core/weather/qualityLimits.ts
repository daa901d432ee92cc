import { MOST_PROBLEMS, type Problem } from '../base/errors.ts';
import { rounded } from '../base/numbers.ts';
import { frac, rainMm, solarMjPerM2, tempC, windMPerS } from '../base/quantity.ts';
import { type AsGiven, type GivenUnit, givenNumber, whereInSeries } from './asGiven.ts';
import { type Column, neededColumns, optionalColumns } from './columns.ts';
import type { DailyWeather } from './schema.ts';

/** More crossing than this is no rounding: two sensors, two days or two columns were mixed up. C. */
export const MOST_CROSSED_C = 0.5;

/** 60 C is 140 F: what lies between may well be a summer's day in Fahrenheit. */
const WARMEST_F = 140;
/** 999 mm is within the physical limit, but no station reports exactly that; files use it for "missing". */
const MISSING_MARK_MM = 999;

type Limits = readonly [low: number, high: number, ours: GivenUnit];

const limitsOf = (quantity: ReturnType<typeof tempC>): Limits => {
  const unit = String(quantity.meta()?.unit);
  const ours = { name: unit === '1' ? '' : unit, fromOurs: (value: number) => value };
  return [quantity.minValue as number, quantity.maxValue as number, ours];
};

/** The limits of `base/quantity.ts`, so that they are written once. */
const limits = {
  tempMaxC: limitsOf(tempC()),
  tempMinC: limitsOf(tempC()),
  rainMm: limitsOf(rainMm()),
  solarMjPerM2: limitsOf(solarMjPerM2()),
  windMPerS: limitsOf(windMPerS()),
  humidityFrac: limitsOf(frac()),
};
/** Warmest air that can be, C. */
export const WARMEST_C = limits.tempMaxC[1];

type ColumnName = keyof typeof limits;
const allColumns = [...neededColumns, ...optionalColumns];

export const FAHRENHEIT_ADVICE =
  'This looks like degrees Fahrenheit. In CSV name the unit in the header (tmax_f, tmin_f); in JSON give degrees Celsius';

const isMark = (column: ColumnName, value: number): boolean => column === 'rainMm' && value === MISSING_MARK_MM;

const isWithin = (column: ColumnName, value: number): boolean => {
  const [low, high] = limits[column];
  return value >= low && value <= high && !isMark(column, value);
};

type UnitOf = (column: ColumnName) => GivenUnit;

const told = (value: number, unit: GivenUnit): string => `${givenNumber(value, unit)} ${unit.name}`.trimEnd();

const rangeText = (column: ColumnName, { name, fromOurs }: GivenUnit): string => {
  const [low, high] = limits[column];
  return `${rounded(fromOurs(low), 1)} to ${rounded(fromOurs(high), 1)} ${name}`.trimEnd();
};

const rangeProblem = (column: ColumnName, value: number, where: string, unit: GivenUnit): Problem => {
  const isCelsius = (column === 'tempMaxC' || column === 'tempMinC') && unit.name !== 'F';
  const base = { where, given: told(value, unit), allowed: rangeText(column, unit) };
  if (isCelsius && value > WARMEST_C && value <= WARMEST_F)
    return { ...base, code: 'weather-fahrenheit', advice: FAHRENHEIT_ADVICE };
  if (isMark(column, value))
    return { ...base, code: 'weather-range', advice: '999 often stands for "missing": write null instead' };
  return { ...base, code: 'weather-range', advice: 'Correct the value, or leave it out so that it counts as missing' };
};

const crossedProblem = (max: number, min: number, where: string, unitOf: UnitOf): Problem => ({
  code: 'weather-crossed',
  where,
  given: `lowest ${told(min, unitOf('tempMinC'))} above highest ${told(max, unitOf('tempMaxC'))}`,
  allowed: `at most ${MOST_CROSSED_C} C (${rounded(1.8 * MOST_CROSSED_C, 1)} F) of crossing`,
  advice: 'Check whether the two columns or two days were exchanged',
});

/** Whether a column has nothing to list. Most have not, so this comes before anything is looked up value by value. */
const isClean = (column: ColumnName, values: Column | undefined): boolean => {
  const [low, high] = limits[column];
  const mark = column === 'rainMm' ? MISSING_MARK_MM : Number.NaN;
  if (values === undefined) return true;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number | null;
    if (value !== null && !(value >= low && value <= high && value !== mark)) return false;
  }
  return true;
};

const isCrossed = (max: number | null, min: number | null): boolean =>
  max !== null && min !== null && min - max > MOST_CROSSED_C + 1e-9;

const hasCrossed = ({ tempMaxC, tempMinC }: DailyWeather): boolean => {
  for (let i = 0; i < tempMaxC.length; i++)
    if (isCrossed(tempMaxC[i] as number | null, tempMinC[i] as number | null)) return true;
  return false;
};

/**
 * Values beyond the physical limits of `base/quantity.ts`, and days whose lowest temperature is above the highest by
 * more than 0.5 C. The first 50 problems.
 * @param given so that a file's reader can name its lines, and tell each value in the unit of its column
 */
export const limitProblems = (
  weather: DailyWeather,
  given: AsGiven = { whereOf: whereInSeries(weather.startDate) },
): Problem[] => {
  const suspects = allColumns.filter((column) => !isClean(column, weather[column]));
  if (suspects.length === 0 && !hasCrossed(weather)) return [];
  const { whereOf } = given;
  const unitOf: UnitOf = (column) => given.unitOf?.(column) ?? limits[column][2];
  const problems: Problem[] = [];
  for (let i = 0; i < weather.tempMaxC.length && problems.length < MOST_PROBLEMS; i++) {
    for (const column of suspects) {
      const value = weather[column]?.[i] ?? null;
      if (value !== null && !isWithin(column, value))
        problems.push(rangeProblem(column, value, whereOf(i, column), unitOf(column)));
    }
    const max = weather.tempMaxC[i] ?? null;
    const min = weather.tempMinC[i] ?? null;
    if (isCrossed(max, min))
      problems.push(crossedProblem(max as number, min as number, whereOf(i, 'tempMinC'), unitOf));
  }
  return problems;
};
