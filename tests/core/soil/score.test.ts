import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { emptySoilDays } from '../../../src/core/soil/days.ts';
import { fitOf, medianOver, stationScore } from '../../../src/core/soil/score.ts';

describe('fitOf', () => {
  test('by hand: errors 1, 1, -1, 3 have bias 1, RMSE 1.732, unbiased 1.414', () => {
    const fit = fitOf([2, 3, 3, 8], [1, 2, 4, 5]);
    expect(fit?.n).toBe(4);
    expect(fit?.bias).toBe(1);
    expect(fit?.rmse).toBeCloseTo(Math.sqrt(3), 12);
    expect(fit?.unbiasedRmse).toBeCloseTo(Math.sqrt(2), 12);
  });

  test('rank correlation with ties at their mean rank: 10, 20, 20, 30 against 1, 2, 3, 4 is 0.9487', () => {
    // Ranks 1, 2.5, 2.5, 4: covariance 4.5, squares 4.5 and 5, so 4.5 / sqrt(22.5).
    expect(fitOf([10, 20, 20, 30], [1, 2, 3, 4])?.rankCorrelation).toBeCloseTo(4.5 / Math.sqrt(22.5), 12);
  });

  test('the order alone counts for the rank correlation: 1 for any rising curve, -1 for any falling one', () => {
    expect(fitOf([1, 8, 27, 64], [1, 2, 3, 4])?.rankCorrelation).toBeCloseTo(1, 12);
    expect(fitOf([9, 4, 1], [1, 2, 3])?.rankCorrelation).toBeCloseTo(-1, 12);
  });

  test('nothing to compare gives nothing, two days give no rank correlation', () => {
    expect(fitOf([], [])).toBeUndefined();
    expect(fitOf([1, 2], [1, 3])?.rankCorrelation).toBeNull();
  });
});

describe('stationScore', () => {
  const soilOf = (startDate: string, temps: readonly number[]) => {
    const soil = emptySoilDays(dayNumber(startDate), temps.length, 6);
    soil.temp5MeanC.set(temps);
    soil.waterM3PerM3[1]?.set(temps.map((t) => t / 100));
    return soil;
  };
  const rising = Array.from({ length: 60 }, (_, i) => 10 + i / 4);

  test('only the season counts, its first and last day included, and holes are left out', () => {
    const soil = soilOf('2024-03-30', [50, 50, 11, 12, 13, 50]);
    const observed = { soilT5_c: [0, 0, 10, null, 10, 0] };
    const { fits } = stationScore(soil, observed, { from: '04-01', to: '04-03' });
    expect(fits.soilT5_c).toMatchObject({ n: 2, bias: 2 });
    expect(fits.soilT10_c).toBeUndefined();
  });

  test('named years only; a column without a value in the season has no fit', () => {
    const soil = soilOf('2024-04-01', rising);
    const season = { from: '04-01', to: '04-10', years: [2023] };
    expect(stationScore(soil, { soilT5_c: rising }, season)).toEqual({ fits: {}, heatDates: [] });
  });

  test('a season may run over New Year', () => {
    const soil = soilOf('2023-12-25', new Array(20).fill(5));
    const { fits } = stationScore(soil, { soilM5_m3m3: new Array(20).fill(0.04) }, { from: '12-30', to: '01-02' });
    expect(fits.soilM5_m3m3?.n).toBe(4);
    expect(fits.soilM5_m3m3?.bias).toBeCloseTo(0.01, 12);
  });

  test('dates of heat sums above 9 C: a soil at 19 C reaches 100, 200, 300 C d on days 10, 20, 30', () => {
    const soil = soilOf('2024-04-01', new Array(60).fill(19));
    const observed = { soilT5_c: new Array(60).fill(14) };
    const { heatDates } = stationScore(soil, observed, { from: '04-01', to: '07-15' });
    // The thermometer, at 14 C, needs 20, 40 and 60 days.
    expect(heatDates).toEqual([
      { year: 2024, heatCd: 100, errorDays: -10 },
      { year: 2024, heatCd: 200, errorDays: -20 },
      { year: 2024, heatCd: 300, errorDays: -30 },
    ]);
  });

  test('a sum that one of the two never reaches has no date', () => {
    const soil = soilOf('2024-04-01', new Array(60).fill(19));
    const { heatDates } = stationScore(soil, { soilT5_c: new Array(60).fill(13) }, { from: '04-01', to: '07-15' });
    expect(heatDates.map(({ errorDays }) => errorDays)).toEqual([-15, -30, null]);
  });

  test('a hole in the record favours neither: both sums wait', () => {
    const observed = new Array<number | null>(60).fill(19);
    observed.fill(null, 3, 8);
    const { heatDates } = stationScore(
      soilOf('2024-04-01', new Array(60).fill(19)),
      { soilT5_c: observed },
      { from: '04-01', to: '07-15' },
    );
    expect(heatDates.map(({ errorDays }) => errorDays)).toEqual([0, 0, 0]);
  });
});

test('the middle over stations leaves out what is not known', () => {
  expect(medianOver([3, null, 1, undefined, 2, Number.NaN])).toBe(2);
  expect(medianOver([null])).toBeNull();
});
