import { mean } from 'simple-statistics';
import { expect, it } from 'vitest';
import { type Fit, medianOver, type Observed, type ObservedColumn, stationScore } from '../../src/core/soil/score.ts';
import { sodCoverFrac } from '../../src/core/soil/sod.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import { type Site, site } from '../../src/core/weather/schema.ts';
import { weatherDays } from '../../src/core/weather/weather.ts';
import type { WeatherFile } from '../../src/sources/contract.ts';
import { ground } from '../core/soil/made.ts';
import { describeWith, rowsOf, stationsOf } from './evidence.ts';

const FILES = ['reference-stations-2020.csv', 'reference-stations-2020-sites.csv'] as const;
const MANHATTAN = 'manhattan-ks-2009-2011.csv';

/** 1 April to 15 July under mown grass, silt loam, from temperature and rain alone. */
const fitsOf = (file: WeatherFile, place: Site, years?: readonly number[]) => {
  const { startDate, tempMaxC, tempMinC, rainMm } = file.weather;
  const { series } = weatherDays({ startDate, tempMaxC, tempMinC, rainMm, forecastFrom: startDate }, place);
  const soil = soilDays(series, place, ground('silt-loam'), sodCoverFrac(0.85, series), []);
  const season = { from: '04-01', to: '07-15', ...(years === undefined ? {} : { years }) };
  return stationScore(soil, file.observed as Observed, season).fits;
};

describeWith(FILES, 'soil at 14 reference stations, 2020 (US Climate Reference Network)', () => {
  const places = new Map(rowsOf(FILES[1]).map((row) => [row.station, row]));
  const fits = stationsOf(FILES[0]).map((file) => {
    const row = places.get(file.station as string);
    const place = { latitudeDeg: Number(row?.lat), longitudeDeg: Number(row?.lon), elevationM: Number(row?.elev_m) };
    return fitsOf(file, site.parse(place));
  });
  const figures = (column: ObservedColumn, figure: keyof Fit): number[] =>
    fits.flatMap((fit) => (typeof fit[column]?.[figure] === 'number' ? [fit[column][figure] as number] : []));

  it('has 14 stations', () => expect(figures('soilT5_c', 'rmse')).toHaveLength(14));
  it('5 cm: median RMSE at most 1.6 C, median unbiased at most 1.2 C', () => {
    expect(medianOver(figures('soilT5_c', 'rmse'))).toBeLessThanOrEqual(1.6);
    expect(medianOver(figures('soilT5_c', 'unbiasedRmse'))).toBeLessThanOrEqual(1.2);
  });
  it('5 cm: mean of the biases within 0.4 C', () => {
    expect(Math.abs(mean(figures('soilT5_c', 'bias')))).toBeLessThanOrEqual(0.4);
  });
  it('moisture at 5 cm: median rank correlation at least 0.76, median unbiased RMSE at most 0.046 m3/m3', () => {
    expect(medianOver(figures('soilM5_m3m3', 'rankCorrelation'))).toBeGreaterThanOrEqual(0.76);
    expect(medianOver(figures('soilM5_m3m3', 'unbiasedRmse'))).toBeLessThanOrEqual(0.046);
  });
});

describeWith([MANHATTAN], 'soil at Manhattan, Kansas, 2010 and 2011', () => {
  it('5 cm: RMSE at most 1.4 C', () => {
    const [file] = stationsOf(MANHATTAN);
    const place = site.parse({ latitudeDeg: 39.1, longitudeDeg: -96.61, elevationM: 347 });
    const fit = fitsOf(file as WeatherFile, place, [2010, 2011]).soilT5_c;
    expect(fit?.n).toBeGreaterThan(200);
    expect(fit?.rmse).toBeLessThanOrEqual(1.4);
  });
});
