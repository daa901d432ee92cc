import { expect, test } from 'vitest';
import { isWhitethreadError } from '../../../src/core/base/errors.ts';
import { fahrenheitProblems } from '../../../src/core/weather/qualityFahrenheit.ts';
import type { DailyWeather } from '../../../src/core/weather/schema.ts';
import { weatherDays } from '../../../src/core/weather/weather.ts';
import { randomFrom, season, siteAt, sliceOf, tenths, vegaWeather } from './samples.ts';

const inFahrenheit = (weather: DailyWeather): DailyWeather => {
  const column = (values: DailyWeather['tempMaxC']) => values.map((v) => (v === null ? null : tenths(v * 1.8 + 32)));
  return { ...weather, tempMaxC: column(weather.tempMaxC), tempMinC: column(weather.tempMinC) };
};

const codeOf = (weather: DailyWeather, latitudeDeg: number): string => {
  try {
    weatherDays(weather, siteAt(latitudeDeg));
    return 'none';
  } catch (error) {
    return isWhitethreadError(error) ? error.code : 'crash';
  }
};

/** Usual mean and half yearly swing by latitude: round numbers of lowland climates, from memory, with 6 C of scatter. */
const usualAt = (latitude: number, random: () => number) => ({
  meanC: 32 - 0.5 * latitude + 12 * (random() - 0.5),
  swingC: 3 + 0.22 * latitude + 8 * (random() - 0.5),
});

test('W6 1,000 growing seasons from 30 to 55 degrees, north and south: 100 % in Fahrenheit named, at most 1 % false', () => {
  const random = randomFrom(6);
  let caught = 0;
  let falseAlarms = 0;
  for (let k = 0; k < 1000; k++) {
    const latitude = 30 + 25 * random();
    const south = random() < 0.5;
    const days = 60 + Math.floor(120 * random());
    const usual = usualAt(latitude, random);
    const weather = season(random, south ? -latitude : latitude, south ? '2019-10-15' : '2019-04-15', days, usual);
    if (codeOf(weather, south ? -latitude : latitude) !== 'none') falseAlarms++;
    if (codeOf(inFahrenheit(weather), south ? -latitude : latitude) === 'weather-fahrenheit') caught++;
  }
  expect(caught).toBe(1000);
  expect(falseAlarms).toBeLessThanOrEqual(10);
});

test('W6 cool springs that stay under 60: the share of too warm days finds them', () => {
  const spring = sliceOf(vegaWeather('New York'), 60, 30);
  const fahrenheit = inFahrenheit(spring);
  const cool = { ...fahrenheit, tempMaxC: fahrenheit.tempMaxC.map((v) => Math.min(v as number, 60)) };
  const [problem] = fahrenheitProblems(cool, 40.7);
  expect(problem?.code).toBe('weather-fahrenheit');
  expect(problem?.advice).toContain('tmax_f');
});

test.each([
  ['Seattle', 47.6],
  ['New York', 40.7],
] as const)(
  'W6 every 90 days from March to October of %s, 2012-2015: all in Fahrenheit named, none false',
  (place, latitude) => {
    const weather = vegaWeather(place);
    for (let first = 60; first + 90 <= weather.tempMaxC.length; first += 10) {
      if (first % 365 < 60 || first % 365 > 210) continue;
      const part = sliceOf(weather, first, 90);
      expect(codeOf(part, latitude)).toBe('none');
      expect(codeOf(inFahrenheit(part), latitude)).toBe('weather-fahrenheit');
    }
  },
);

test('W6 a hot week of 45 C at 50 degrees north is weather', () => {
  const heat = {
    startDate: '2021-06-25',
    tempMaxC: Array(7).fill(45),
    tempMinC: Array(7).fill(22),
    rainMm: Array(7).fill(0),
  };
  expect(codeOf(heat, 50)).toBe('none');
});

test('W6 days with one temperature missing do not count', () => {
  expect(
    fahrenheitProblems({ startDate: '2021-01-01', tempMaxC: [50, null], tempMinC: [null, 40], rainMm: [0, 0] }, 50),
  ).toEqual([]);
});
