import { describe, expect, it } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import type { WeedDays } from '../../../src/core/weeds/days.ts';
import { flushes } from '../../../src/core/weeds/flushes.ts';
import { reachedDay } from '../../../src/core/weeds/reached.ts';
import { waves } from '../../../src/core/weeds/waves.ts';
import { weedDays } from '../../../src/core/weeds/weeds.ts';
import { sentUpFrac } from '../../../src/core/weeds/weedYear.ts';
import { annual, syntheticSoil, syntheticWeather, winterAnnual } from './synthetic.ts';

/** Bell curves on a year: [day of the peak, width in days, share]. */
const bells = (...parts: readonly (readonly [number, number, number])[]): Float64Array =>
  Float64Array.from({ length: 200 }, (_, d) =>
    parts.reduce(
      (sum, [peak, width, share]) =>
        sum + (share * Math.exp(-(((d - peak) / width) ** 2) / 2)) / (width * Math.sqrt(2 * Math.PI)),
      0,
    ),
  );

describe('waves', () => {
  it('one bell is one wave with its peak on its day and nearly all in it', () => {
    const found = waves(bells([100, 6, 1]));
    expect(found.map((w) => w.peak)).toEqual([100]);
    expect(found[0]?.sum).toBeGreaterThan(0.97);
    expect(100 - (found[0]?.from ?? 0)).toBe((found[0]?.to ?? 0) - 100);
  });

  it('two bells 25 days apart are two waves that share the day of the valley but do not overlap', () => {
    const found = waves(bells([60, 6, 0.4], [85, 6, 0.6]));
    expect(found.map((w) => w.peak)).toEqual([60, 85]);
    expect((found[0]?.to ?? 0) < (found[1]?.from ?? 0)).toBe(true);
    expect(found[0]?.sum).toBeCloseTo(0.4, 1);
    expect(found[1]?.sum).toBeCloseTo(0.6, 1);
  });

  it('two bells 8 days apart are one wave: the valley is too shallow', () => {
    expect(waves(bells([60, 5, 0.5], [68, 5, 0.5]))).toHaveLength(1);
  });

  it('a valley of one day in the running mean does not part a wave, of two days it does', () => {
    const rate = new Float64Array(60);
    rate.fill(0.02, 10, 50);
    rate.set([0.0185, 0.001, 0.0185], 29);
    expect(waves(rate)).toHaveLength(1);
    rate.set([0.0185, 0, 0], 29);
    expect(waves(rate)).toHaveLength(2);
  });

  it('a piece under 5 % joins a neighbour within 14 days and is left out farther away', () => {
    const near = waves(bells([60, 4, 0.96], [84, 2, 0.04]));
    expect(near).toHaveLength(1);
    expect(near[0]?.to).toBeGreaterThan(84);
    expect(near[0]?.peak).toBe(60);
    const far = waves(bells([60, 4, 0.96], [150, 2, 0.04]));
    expect(far).toHaveLength(1);
    expect(far[0]?.to).toBeLessThan(90);
    const before = waves(bells([40, 2, 0.04], [62, 4, 0.96]));
    expect(before).toHaveLength(1);
    expect(before[0]?.from).toBeLessThan(40);
  });

  it('no wave where nothing comes up, or under 0.05 % a day', () => {
    expect(waves(new Float64Array(50))).toEqual([]);
    expect(waves(new Float64Array(50).fill(0.0004))).toEqual([]);
  });
});

describe('flushes', () => {
  const START = dayNumber('2021-01-01');
  const weeds = weedDays(syntheticSoil(START, 365), syntheticWeather(START, 365), [annual, winterAnnual], [], false);
  /** The whole series as the year of every species. */
  const series = ({ species, days }: WeedDays) =>
    species.map((one) => ({ first: 0, end: days - 1, totalFrac: sentUpFrac(one, 0, days - 1) }));
  const year = series(weeds);

  it('shares of all flushes make up the year; species of a flush add up to 1, less what is left out', () => {
    const found = flushes(weeds, [1, 1], year);
    const sum = found.reduce((all, flush) => all + flush.shareFrac, 0);
    expect(sum).toBeGreaterThan(0.9);
    expect(sum).toBeLessThanOrEqual(1);
    for (const flush of found) {
      const species = flush.species.reduce((all, one) => all + one.shareFrac, 0);
      expect(species).toBeGreaterThan(0.98);
      expect(species).toBeLessThanOrEqual(1 + 1e-12);
      expect(flush.startDay <= flush.peakDay && flush.peakDay <= flush.endDay).toBe(true);
    }
  });

  it('follows the weights: with the winter annual alone there is a flush of 70 % in autumn', () => {
    const autumn = flushes(weeds, [0, 1], year).filter((flush) => isoDate(flush.startDay) > '2021-08-01');
    expect(autumn.reduce((sum, flush) => sum + flush.shareFrac, 0)).toBeCloseTo(0.7, 1);
    expect(autumn[0]?.species).toEqual([{ speciesId: 'test-winter', shareFrac: 1 }]);
  });

  it('white threads are most a few days before the seedlings come up fastest', () => {
    for (const flush of flushes(weeds, [1, 0], year)) {
      const lead = flush.peakDay - flush.whiteThreadPeakDay;
      expect(lead).toBeGreaterThan(0);
      expect(lead).toBeLessThan(8);
      expect(flush.whiteThreadFromDay).toBeLessThanOrEqual(flush.whiteThreadPeakDay);
      expect(flush.whiteThreadToDay).toBeGreaterThanOrEqual(flush.whiteThreadPeakDay);
      expect(flush.whiteThreadFromDay).toBeGreaterThan(dayNumber('2021-03-01'));
    }
  });

  it('the white threads of a flush are the whole stock while no other flush is near', () => {
    const [flush] = flushes(weeds, [1, 0], year);
    const at = (flush?.whiteThreadPeakDay ?? 0) - START;
    const stock = weeds.species[0]?.stockFrac[0] as Float64Array;
    expect(stock[at]).toBeCloseTo(Math.max(...stock), 3);
  });

  it('a dry fortnight from 40 % on parts the flush, and the second begins with the rain', () => {
    const from = reachedDay(weeds.species[0]?.germinatedFrac as Float64Array, START, 0.4, 0) as number;
    const dry = (day: number) => day >= from && day < from + 14;
    const parted = weedDays(syntheticSoil(START, 365, { dry }), syntheticWeather(START, 365), [annual], [], false);
    const found = flushes(parted, [1], series(parted));
    expect(found.map((flush) => flush.shareFrac.toFixed(1))).toEqual(['0.4', '0.6']);
    expect(found[1]?.whiteThreadFromDay).toBeGreaterThan(from + 13);
    expect(found[1]?.startDay).toBeGreaterThan(from + 13);
  });

  it('a flush that still runs where the weather ends says so: it holds less than it will', () => {
    const [whole] = flushes(weeds, [1, 0], year);
    expect(whole?.goesOn).toBe(false);
    const days = (whole?.whiteThreadPeakDay ?? 0) - START + 2;
    const cut = weedDays(syntheticSoil(START, days), syntheticWeather(START, days), [annual], [], false);
    const [running] = flushes(cut, [1], series(cut));
    expect(running?.goesOn).toBe(true);
    expect(running?.shareFrac).toBeLessThan(0.8 * (whole?.shareFrac ?? 0));
    // Its white threads are all those that there are, though most come up later.
    expect(running?.whiteThreadPeakDay).toBe(whole?.whiteThreadPeakDay);
  });

  it('each species is counted in its own year: of a longer series no other year counts', () => {
    const [summer, winter] = year;
    const long = weedDays(syntheticSoil(START - 300, 900), syntheticWeather(START - 300, 900), [annual], [], false);
    const within = { first: 300, end: 664, totalFrac: 1 };
    const dates = (found: ReturnType<typeof flushes>) =>
      found.map(({ startDay, peakDay, endDay }) => [startDay, peakDay, endDay]);
    expect(dates(flushes(long, [1], [within]))).toEqual(dates(flushes(weeds, [1, 0], year)));
    const spring = { ...winter, end: 200 };
    const found = flushes(weeds, [1, 1], [summer, spring] as typeof year);
    expect(found.every(({ startDay }) => startDay < START + 200)).toBe(true);
    expect(flushes(weeds, [1, 1], year).some(({ startDay }) => startDay > START + 200)).toBe(true);
  });

  it('nothing where a year holds no day', () => {
    expect(
      flushes(
        weeds,
        [1, 1],
        [364, 364].map((at) => ({ first: at, end: at, totalFrac: 1 })),
      ),
    ).toEqual([]);
  });
});

describe('reachedDay', () => {
  it('is the day in whose course the level is reached, from a day on, or null', () => {
    const column = Float64Array.of(0, 0.2, 0.6, 0.6);
    expect(reachedDay(column, 100, 0.5, 0)).toBe(101);
    expect(reachedDay(column, 100, 0.3, 1)).toBe(101);
    expect(reachedDay(column, 100, 0.7, 0)).toBeNull();
  });
});
