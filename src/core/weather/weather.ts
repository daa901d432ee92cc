import { type DayNumber, dayNumber } from '../base/day.ts';
import { type Problem, whitethreadError } from '../base/errors.ts';
import type { AsGiven } from './asGiven.ts';
import { type Column, columnDays, type NeededColumn, neededColumns, observedDays } from './columns.ts';
import { uncrossed } from './crossed.ts';
import { filled, type Gap, gaps } from './filled.ts';
import type { WeatherFinding } from './finding.ts';
import { gapFindings, gapProblems } from './gapReport.ts';
import { valueProblems, weatherFindings } from './quality.ts';
import { dateProblems } from './qualityDates.ts';
import { type DailyWeather, type DayOrigin, dayOrigins, type Site } from './schema.ts';
import type { WeatherDays } from './series.ts';

const originIndex = (origin: DayOrigin): number => dayOrigins.indexOf(origin);

const isEmpty = (column: Column): boolean => column.every((value) => value === null);

const emptyProblem = (name: NeededColumn): Problem => ({
  code: 'weather-empty',
  where: `weather.${name}`,
  given: 'no value at all',
  allowed: 'a value on most days',
  advice: 'Highest and lowest temperature and rain are needed',
});

/** A day is as good as its worst filled column; `dayOrigins` is in that order. */
const originOf = (days: number, observed: number, holes: readonly Gap[]): Uint8Array => {
  const origin = new Uint8Array(days).fill(originIndex('forecast'), observed);
  for (const { first, last, fill } of holes)
    for (let i = first; i <= last; i++) origin[i] = Math.max(origin[i] as number, originIndex(fill));
  return origin;
};

const filledDays = (days: number, holes: readonly Gap[]): Uint8Array => {
  const isFilled = new Uint8Array(days);
  for (const { first, last } of holes) isFilled.fill(1, first, last + 1);
  return isFilled;
};

/** A filled temperature gives way to a measured one where the two would cross. */
const giveWay = (max: Float64Array, min: Float64Array, givenMax: Column): void => {
  for (let i = 0; i < max.length; i++) {
    if ((min[i] as number) <= (max[i] as number)) continue;
    if (givenMax[i] === null) max[i] = min[i] as number;
    else min[i] = max[i] as number;
  }
};

type Holes = Readonly<Record<NeededColumn, readonly Gap[]>>;

const holesOf = (given: Readonly<Record<NeededColumn, Column>>): Holes => ({
  tempMaxC: gaps(given.tempMaxC),
  tempMinC: gaps(given.tempMinC),
  rainMm: gaps(given.rainMm),
});

/** Weather that can be computed with: its needed columns, their gaps, and everything that was odd or is to be filled. */
type Checked = {
  readonly startDay: DayNumber;
  readonly observed: number;
  readonly given: Readonly<Record<NeededColumn, Column>>;
  readonly holes: Holes;
  readonly findings: readonly WeatherFinding[];
};

/**
 * Daily weather, looked through and not yet filled: all that whoever keeps it needs.
 * @param today without it, days of the future cannot be told
 * @param asGiven where the caller gave it otherwise than as this series
 * @throws WhitethreadError as `weatherDays`
 */
export const checkedWeather = (weather: DailyWeather, site: Site, today?: DayNumber, asGiven?: AsGiven): Checked => {
  const startDay = dayNumber(weather.startDate);
  const observed = observedDays(weather);
  const { findings: crossings, ...temperatures } = uncrossed(weather.tempMaxC, weather.tempMinC, startDay);
  const given = { ...temperatures, rainMm: weather.rainMm };
  const holes = holesOf(given);
  const gapsTold = <T>(
    tell: (holes: readonly Gap[], column: string, startDay: DayNumber, observed: number) => T[],
    names: readonly NeededColumn[] = neededColumns,
  ): T[] => names.flatMap((name) => tell(holes[name], name, startDay, observed));

  const used = neededColumns.filter((name) => !isEmpty(weather[name]));
  const empty = neededColumns.filter((name) => !used.includes(name)).map(emptyProblem);
  const dates = dateProblems(weather, today);
  // Gaps first: they are few, and of values that cannot be there may be more than are listed.
  const problems =
    dates.length > 0
      ? [...empty, ...dates]
      : [...empty, ...gapsTold(gapProblems, used), ...valueProblems(weather, site, asGiven)];
  if (problems.length > 0) throw whitethreadError(problems);
  const filling = gapsTold(gapFindings);
  const findings = [...crossings, ...filling, ...weatherFindings({ ...weather, ...temperatures }, today)];
  return { startDay, observed, given, holes, findings };
};

/**
 * Gapless daily weather, and everything that was odd or filled. In observed weather, gaps of 1 to 3 days are drawn as a
 * line, gaps of 4 to 10 (and any at an end of the series) get what is usual then; longer ones are an error. In the
 * forecast a gap of any length is filled. Optional columns are NaN where nothing was measured.
 * @param today without it, days of the future cannot be told
 * @throws WhitethreadError with every problem: 'weather-date', 'weather-range', 'weather-fahrenheit', 'weather-crossed',
 * 'weather-gap', 'weather-empty'
 */
export const weatherDays = (
  weather: DailyWeather,
  site: Site,
  today?: DayNumber,
): { readonly series: WeatherDays; readonly findings: readonly WeatherFinding[] } => {
  const { startDay, observed, given, holes, findings } = checkedWeather(weather, site, today);
  const tempMaxC = filled(given.tempMaxC, holes.tempMaxC, startDay);
  const tempMinC = filled(given.tempMinC, holes.tempMinC, startDay);
  giveWay(tempMaxC, tempMinC, given.tempMaxC);
  const days = weather.tempMaxC.length;
  const series: WeatherDays = {
    startDay,
    days,
    tempMaxC,
    tempMinC,
    rainMm: filled(given.rainMm, holes.rainMm, startDay),
    solarMjPerM2: columnDays(weather.solarMjPerM2, days),
    windMPerS: columnDays(weather.windMPerS, days),
    humidityFrac: columnDays(weather.humidityFrac, days),
    origin: originOf(days, observed, Object.values(holes).flat()),
    rainFilled: filledDays(days, holes.rainMm),
  };
  return { series, findings };
};
