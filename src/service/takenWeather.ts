import { dayNumber } from '../core/base/day.ts';
import { parsed } from '../core/base/schema.ts';
import { type AsGiven, whereInSeries } from '../core/weather/asGiven.ts';
import { findingSentence, type WeatherFinding } from '../core/weather/finding.ts';
import { type DailyWeather, dailyWeather, type Site } from '../core/weather/schema.ts';
import { checkedWeather } from '../core/weather/weather.ts';
import { csvSeries } from '../sources/csv.ts';
import { stationOf } from './farm.ts';
import { asForecastFrom, merged } from './joined.ts';
import { jsonOf } from './json.ts';

/** Weather as it was posted: columns as JSON, or CSV. */
export type PostedWeather = { readonly type: 'json' | 'csv'; readonly text: string };

/** What is to be kept of it. */
export type WeatherToTake = PostedWeather & {
  /** The series that it is laid over, day by day, as it is kept; null where it stands for itself. */
  readonly before: string | null;
  readonly site: Site;
  /** What comes after it is forecast. */
  readonly today: string;
};

/** A series as it is kept, and what was odd: in the text that was posted first, then about the whole series. */
export type TakenWeather = { readonly text: string; readonly findings: readonly string[] };

type Posted = {
  readonly weather: DailyWeather;
  readonly given: AsGiven;
  /** What its reader left out or read in its own way. */
  readonly findings: readonly WeatherFinding[];
};

/** The weather of a CSV text with one station. @throws WhitethreadError with every problem and its line */
const postedCsv = (text: string): Posted => stationOf(csvSeries(text), undefined, 'the body');

const postedJson = (text: string): Posted => {
  const weather = parsed(dailyWeather, jsonOf(text), '');
  return { weather, given: { whereOf: whereInSeries(weather.startDate) }, findings: [] };
};

/** The longest number in JSON has 25 characters, its comma and blanks a few; names and dates are short. */
const mostCharacters = (weather: DailyWeather): number =>
  Object.values(weather).reduce((sum, column) => sum + 32 * (Array.isArray(column) ? column.length : 10), 0);

/**
 * Posted weather, looked through and as it is to be kept.
 * @throws WhitethreadError with everything that is wrong with it
 */
export const takenWeather = ({ type, text, before, site, today }: WeatherToTake): TakenWeather => {
  const { weather: posted, given, findings: read } = type === 'csv' ? postedCsv(text) : postedJson(text);
  const whole = before === null ? posted : merged(JSON.parse(before) as DailyWeather, posted);
  // What was kept was sound, so whatever cannot be is told by its row in what was posted.
  const firstRow = dayNumber(posted.startDate) - dayNumber(whole.startDate);
  const asGiven: AsGiven = { ...given, whereOf: (index, column) => given.whereOf(index - firstRow, column) };
  const { findings } = checkedWeather(asForecastFrom(whole, today), site, dayNumber(today), asGiven);
  // What came as JSON is kept as it came, to write it anew takes as long as to read it did; but no megabytes of blanks.
  const isAsItCame = type === 'json' && before === null && text.length <= mostCharacters(whole);
  return { text: isAsItCame ? text : JSON.stringify(whole), findings: [...read, ...findings].map(findingSentence) };
};
