import { whitethreadError } from '../core/base/errors.ts';
import { parsed } from '../core/base/schema.ts';
import { limitProblems } from '../core/weather/qualityLimits.ts';
import { dailyWeather } from '../core/weather/schema.ts';
import type { WeatherFile } from './contract.ts';

const jsonValue = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw whitethreadError([
      {
        code: 'weather-format',
        where: 'weather file',
        given: error instanceof Error ? error.message : 'no JSON',
        allowed: 'JSON as JSON.stringify writes it',
      },
    ]);
  }
};

/**
 * The weather of a file in the library's own JSON, `dailyWeather`.
 * @throws WhitethreadError 'weather-format', 'invalid-input', 'weather-range', 'weather-crossed'
 */
export const jsonWeather = (text: string): WeatherFile[] => {
  const weather = parsed(dailyWeather, jsonValue(text), 'weather');
  const problems = limitProblems(weather);
  if (problems.length > 0) throw whitethreadError(problems);
  return [{ station: null, latitudeDeg: null, longitudeDeg: null, weather, observed: {}, findings: [] }];
};
