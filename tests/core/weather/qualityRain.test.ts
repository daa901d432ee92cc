import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { rainUnitFindings } from '../../../src/core/weather/qualityRain.ts';
import { normalFrom, randomFrom, season, vegaWeather } from './samples.ts';

const start = dayNumber('2012-01-01');
const hundredths = (value: number): number => Math.round(value * 100) / 100;

/** Wrong units as they come about, with the rounding of the file they come from. */
const mistakes = [
  ['inches sent as mm', (mm: number) => hundredths(mm / 25.4), 'rain-small'],
  ['mm converted from inches once more', (mm: number) => mm * 25.4, 'rain-large'],
  ['tenths of mm sent as mm', (mm: number) => Math.round(mm * 10), 'rain-large'],
  ['cm sent as mm', (mm: number) => hundredths(mm / 10), 'rain-small'],
] as const;

const seasonsOf = (column: readonly (number | null)[], step: number): (number | null)[][] => {
  const parts = [];
  for (let first = 0; first + 90 <= column.length; first += step) parts.push(column.slice(first, first + 90));
  return parts;
};

const vega = [...seasonsOf(vegaWeather('Seattle').rainMm, 5), ...seasonsOf(vegaWeather('New York').rainMm, 5)];

/** Gamma-distributed number with mean 1 and shape 0.7, Marsaglia & Tsang's way (from memory). */
const gamma = (random: () => number): number => {
  const [shape, d] = [0.7, 1.7 - 1 / 3];
  for (;;) {
    const x = normalFrom(random);
    const v = (1 + x / Math.sqrt(9 * d)) ** 3;
    if (v > 0 && Math.log(1 - random()) < x * x * 0.5 + d - d * v + d * Math.log(v))
      return (d * v * random() ** (1 / shape)) / shape;
  }
};

/** Made-up seasons of other climates: wet on 12 to 50 % of days, mean wet day 4 to 12 mm, many small and few large. */
const random = randomFrom(7);
const madeUp = Array.from({ length: 500 }, () => {
  const [wetShare, mean] = [0.12 + 0.38 * random(), 4 * Math.exp(1.1 * random())];
  return Array.from({ length: 90 }, () =>
    random() < wetShare ? Math.max(0.1, Math.round(10 * mean * gamma(random)) / 10) : 0,
  );
});

describe.each([
  [`${vega.length} seasons of 90 days at Seattle and New York, 2012-2015`, vega],
  ['500 made-up seasons of other climates', madeUp],
] as const)('W7 rain in another unit: %s', (_, seasons) => {
  test('right units: at most 2 % false alarms', () => {
    const alarms = seasons.filter((rain) => rainUnitFindings(rain, start).length > 0).length;
    expect(alarms / seasons.length).toBeLessThanOrEqual(0.02);
  });

  test.each(mistakes)('%s: named in at least 98 %% of seasons', (_name, wrong, code) => {
    const named = seasons.filter((rain) => {
      const [finding] = rainUnitFindings(
        rain.map((v) => (v === null ? null : wrong(v))),
        start,
      );
      return finding?.code === code && finding.severity === 'warning';
    }).length;
    expect(named / seasons.length).toBeGreaterThanOrEqual(0.98);
  });
});

describe('W7 in a series of years', () => {
  const rain = vegaWeather('New York').rainMm;

  test('four right years: silent', () => {
    expect(rainUnitFindings(rain, start)).toEqual([]);
    expect(rainUnitFindings(vegaWeather('Seattle').rainMm, start)).toEqual([]);
  });

  test('four years in inches: one warning for the whole', () => {
    const findings = rainUnitFindings(
      rain.map((v) => hundredths((v as number) / 25.4)),
      start,
    );
    expect(findings).toMatchObject([{ code: 'rain-small', from: start, to: start + 1460 }]);
  });

  test.each(mistakes)('only 2014: %s: the other years tell, and only days of 2014 are named', (_name, wrong, code) => {
    const [first, last] = [731, 1095];
    const mixed = rain.map((v, i) => (i >= first && i <= last ? wrong(v as number) : v));
    const findings = rainUnitFindings(mixed, start);
    expect(findings.length).toBeGreaterThan(0);
    for (const finding of findings) {
      expect(finding.code).toBe(code);
      expect(finding.to).toBeGreaterThanOrEqual(start + first);
      expect(finding.from).toBeLessThanOrEqual(start + last);
    }
  });

  test('a dry season of two showers says nothing', () => {
    expect(rainUnitFindings([...Array(80).fill(0), 0.2, 0.4, ...Array(8).fill(null)], start)).toEqual([]);
  });

  test('ten made-up years of showers: silent', () => {
    const { rainMm } = season(random, 45, '2012-01-01', 3653, { meanC: 10, swingC: 10 });
    expect(rainUnitFindings(rainMm, start)).toEqual([]);
  });
});
