import { type DayNumber, dayNumber } from '../base/day.ts';
import type { Problem } from '../base/errors.ts';
import type { AsGiven } from './asGiven.ts';
import type { WeatherFinding } from './finding.ts';
import { forecastAge } from './qualityDates.ts';
import { fahrenheitProblems } from './qualityFahrenheit.ts';
import { flatFindings } from './qualityFlat.ts';
import { limitProblems } from './qualityLimits.ts';
import { rainUnitFindings } from './qualityRain.ts';
import { repeatFindings } from './qualityRepeat.ts';
import { spikeFindings } from './qualitySpike.ts';
import type { DailyWeather, Site } from './schema.ts';

/**
 * Values that cannot be, with row and date, and a series that is too warm to be Celsius.
 * @param weather with sound dates: without them there is no season to compare with, and no date to name
 */
export const valueProblems = (weather: DailyWeather, site: Site, given?: AsGiven): Problem[] => {
  const values = limitProblems(weather, given);
  const isTold = values.some(({ code }) => code === 'weather-fahrenheit');
  return isTold ? values : [...values, ...fahrenheitProblems(weather, site.latitudeDeg)];
};

/** Everything that is odd about a usable series and is kept as it is. */
export const weatherFindings = (weather: DailyWeather, today: DayNumber | undefined): WeatherFinding[] => {
  const start = dayNumber(weather.startDate);
  const { tempMaxC, tempMinC, rainMm } = weather;
  return [
    ...forecastAge(weather, today),
    ...flatFindings(tempMaxC, 'tempMaxC', start),
    ...flatFindings(tempMinC, 'tempMinC', start),
    ...spikeFindings(tempMaxC, tempMinC, 'tempMaxC', start),
    ...spikeFindings(tempMinC, tempMaxC, 'tempMinC', start),
    ...repeatFindings(weather),
    ...rainUnitFindings(rainMm, start),
  ];
};
