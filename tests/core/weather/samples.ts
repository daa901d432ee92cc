import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import type { DailyWeather, Site } from '../../../src/core/weather/schema.ts';

export const siteAt = (latitudeDeg: number): Site => ({
  latitudeDeg,
  longitudeDeg: -90,
  elevationM: 200,
  timeZone: 'UTC',
});

/** Numbers 0 to 1 in a fixed order, so that a trial that fails fails again. */
export const randomFrom = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

export const normalFrom = (random: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

export const tenths = (value: number): number => Math.round(value * 10) / 10;

/** The package names no data file among its exports, so its place is taken from that of its code. */
export const vegaPath: string = createRequire(import.meta.url)
  .resolve('vega-datasets')
  .replace(/vega-datasets[/\\](?!.*vega-datasets[/\\]).*$/, 'vega-datasets/data/weather.csv');

/** Daily weather 2012-2015 of the npm package vega-datasets (NOAA, US Government). */
export const vegaWeather = (place: 'Seattle' | 'New York'): DailyWeather => {
  const rows = readFileSync(vegaPath, 'utf8')
    .split('\n')
    .map((line) => line.split(','))
    .filter(([location]) => location === place);
  const column = (index: number) => rows.map((cells) => Number(cells[index]));
  return { startDate: '2012-01-01', rainMm: column(2), tempMaxC: column(3), tempMinC: column(4) };
};

/** Part of a series, with its own start. */
export const sliceOf = (weather: DailyWeather, first: number, days: number): DailyWeather => ({
  startDate: isoDate(dayNumber(weather.startDate) + first),
  tempMaxC: weather.tempMaxC.slice(first, first + days),
  tempMinC: weather.tempMinC.slice(first, first + days),
  rainMm: weather.rainMm.slice(first, first + days),
});

export type Usual = { readonly meanC: number; readonly swingC: number };

/** A made-up season: usual temperature of the year, weather that lasts about three days, a range of 6 to 16 C, showers. */
export const season = (
  random: () => number,
  latitudeDeg: number,
  startDate: string,
  days: number,
  usual: Usual,
): DailyWeather => {
  const start = dayNumber(startDate);
  const shift = latitudeDeg < 0 ? 182 : 0;
  let anomaly = 0;
  const rows = Array.from({ length: days }, (_, i) => {
    anomaly = 0.7 * anomaly + 2.8 * normalFrom(random);
    const day = (start + i - dayNumber('2019-01-01') - 200 - shift) / 365.25;
    const mean = usual.meanC + usual.swingC * Math.cos(2 * Math.PI * day) + anomaly;
    const half = 3 + 5 * random();
    const rain = random() < 0.3 ? tenths(-8 * Math.log(1 - random())) : 0;
    return { max: tenths(mean + half), min: tenths(mean - half), rain };
  });
  return {
    startDate,
    tempMaxC: rows.map(({ max }) => max),
    tempMinC: rows.map(({ min }) => min),
    rainMm: rows.map(({ rain }) => rain),
  };
};
