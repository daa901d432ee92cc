import { type DayNumber, dayNumber } from '../base/day.ts';
import type { Problem } from '../base/errors.ts';
import type { WeatherFinding } from './finding.ts';
import { dateProblems, forecastAge } from './qualityDates.ts';
import { fahrenheitProblems } from './qualityFahrenheit.ts';
import { flatFindings } from './qualityFlat.ts';
import { limitProblems, whereInSeries } from './qualityLimits.ts';
import { rainUnitFindings } from './qualityRain.ts';
import { repeatFindings } from './qualityRepeat.ts';
import { spikeFindings } from './qualitySpike.ts';
import type { DailyWeather, Site } from './schema.ts';

/** Everything that makes a series unusable, with row and date. */
export const weatherProblems = (weather: DailyWeather, site: Site, today: DayNumber | undefined): Problem[] => {
  const dates = dateProblems(weather, today);
  // Without sound dates there is no season to compare with, and no date to name.
  if (dates.length > 0) return dates;
  const values = limitProblems(weather, whereInSeries(weather.startDate));
  return values.length > 0 ? values : fahrenheitProblems(weather, site.latitudeDeg);
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
