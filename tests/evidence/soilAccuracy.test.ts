import { expect, test } from 'vitest';
import { captured } from '../cli/capture.ts';
import { describeEvidence, evidencePath } from './evidence.ts';

type Fit = { bias: number; rmse: number; unbiasedRmse: number; rankCorrelation: number };
type Station = { fits: { soilT5_c: Fit; soilM5_m3m3?: Fit } };

/** Through the command that any user has, with its shipped parameters: silt loam, grass 0.85, 1 April to 15 July. */
const stations = (...args: string[]): Station[] => {
  const { code, out } = captured('score', '--json', '--from', '04-01', '--to', '07-15', ...args);
  expect(code).toBe(0);
  return JSON.parse(out).stations;
};

const middle = (values: number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return ((sorted[Math.floor(half - 0.5)] as number) + (sorted[Math.floor(half)] as number)) / 2;
};

describeEvidence('soil under grass, 14 stations of the US Climate Reference Network, 2020 (NOAA NCEI)', () => {
  const found = () =>
    stations(
      '--observed',
      evidencePath('reference-stations-2020.csv'),
      '--sites',
      evidencePath('reference-stations-2020-sites.csv'),
    );

  test('5 cm: median RMSE at most 1.7 C, unbiased at most 1.3 C, mean of the biases within 0.4 C', () => {
    const fits = found().map(({ fits }) => fits.soilT5_c);
    expect(fits).toHaveLength(14);
    expect(middle(fits.map(({ rmse }) => rmse))).toBeLessThanOrEqual(1.7);
    expect(middle(fits.map(({ unbiasedRmse }) => unbiasedRmse))).toBeLessThanOrEqual(1.3);
    expect(Math.abs(fits.reduce((sum, { bias }) => sum + bias, 0) / 14)).toBeLessThanOrEqual(0.4);
  });

  test('5 cm moisture: median rank correlation at least 0.76, unbiased RMSE at most 0.046', () => {
    const fits = found().flatMap(({ fits }) => (fits.soilM5_m3m3 === undefined ? [] : [fits.soilM5_m3m3]));
    expect(middle(fits.map(({ rankCorrelation }) => rankCorrelation))).toBeGreaterThanOrEqual(0.76);
    expect(middle(fits.map(({ unbiasedRmse }) => unbiasedRmse))).toBeLessThanOrEqual(0.046);
  });

  test('Manhattan, Kansas, 2010-11: RMSE at 5 cm at most 1.4 C', () => {
    const file = evidencePath('manhattan-ks-2009-2011.csv');
    const [station] = stations('--observed', file, '--lat', '39.1', '--lon', '-96.6', '--years', '2010,2011');
    expect(station?.fits.soilT5_c.rmse).toBeLessThanOrEqual(1.4);
  });
});
