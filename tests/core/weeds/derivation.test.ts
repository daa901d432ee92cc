import { median } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { dayNumber, isoDate, monthDayIn } from '../../../src/core/base/day.ts';
import type { SoilDays } from '../../../src/core/soil/days.ts';
import { derivedCurve } from '../../../src/core/weeds/derivation.ts';
import { momentOf, sumAt } from '../../../src/core/weeds/heatSums.ts';
import { reachedDay } from '../../../src/core/weeds/reached.ts';
import type { EmergenceComponent, Species } from '../../../src/core/weeds/schema.ts';
import { weedDays } from '../../../src/core/weeds/weeds.ts';
import { annual, syntheticSoil, syntheticWeather } from './synthetic.ts';

const FIRST_YEAR = 2001;
const YEARS = 9;
const START = dayNumber(`${FIRST_YEAR}-01-01`);
const DAYS = dayNumber(`${FIRST_YEAR + YEARS}-01-01`) - START;

/** Nine years, each warmer or colder than the others by up to 2 C, with dry spells. */
const soil: SoilDays = (() => {
  const out = syntheticSoil(START, DAYS, { meanC: 12, dry: (day) => day % 23 < 6 });
  for (let i = 0; i < DAYS; i++) {
    const offset = 2 * Math.sin(5 * Number(isoDate(START + i).slice(0, 4)));
    for (let h = 24 * i; h < 24 * i + 24; h++) out.seedZoneTempC[h] += offset;
  }
  return out;
})();
const weather = syntheticWeather(START, DAYS);

const withComponent = (component: EmergenceComponent): Species => ({
  ...annual,
  germination: { ...annual.germination, components: [component] },
});

/** Middle day of emergence, as the weed stage itself gives it, in days after 1 January. */
const middleDay = (species: Species, share: number): number => {
  const one = weedDays(soil, weather, [species], [], false).species[0];
  return median(
    Array.from({ length: YEARS }, (_, y) => {
      const first = monthDayIn(FIRST_YEAR + y, '01-01');
      const reached = reachedDay(one?.potentialFrac as Float64Array, START, share, first - START);
      return (reached ?? Number.POSITIVE_INFINITY) - first;
    }),
  );
};
const monthDay = (daysAfterNewYear: number): string => isoDate(monthDayIn(2001, '01-01') + daysAfterNewYear).slice(5);

describe('derivedCurve', () => {
  const truth: EmergenceComponent = {
    season: 'spring',
    shareFrac: 1,
    start: '03-01',
    lagCd: 60,
    scaleCd: 300,
    shape: 1.6,
  };
  const target = [0.02, 0.1, 0.5, 0.9].map((share) => middleDay(withComponent(truth), share));
  const [p2, p10, p50, p90] = target.map(monthDay) as [string, string, string, string];

  it('finds constants that give back the dates of a known curve, through the whole weed stage, within a day', () => {
    const found = derivedCurve(soil, annual, '03-01', { p2, p10, p50, p90 });
    const species = withComponent({ ...truth, ...found });
    [0.02, 0.1, 0.5, 0.9].forEach((share, k) => {
      expect(Math.abs(middleDay(species, share) - (target[k] as number))).toBeLessThanOrEqual(1);
      expect(Math.abs(found.errorDays[k] ?? 99)).toBeLessThan(1);
    });
    expect(Math.abs(found.scaleCd - truth.scaleCd)).toBeLessThan(30);
  });

  it('has no error to report where no date is known', () => {
    const found = derivedCurve(soil, annual, '03-01', { p2: null, p10, p50, p90: null });
    expect(found.errorDays.map((error) => error === null)).toEqual([true, false, false, true]);
  });

  it('says how late it stays when the first date is earlier than the way up allows', () => {
    const found = derivedCurve(soil, annual, '03-01', { p2: '03-02', p10, p50, p90 });
    expect(found.errorDays[0]).toBeGreaterThan(5);
    expect(found.lagCd).toBeLessThan(1);
  });

  it('carries a date of the new year over to it: an autumn wave that ends in January', () => {
    const found = derivedCurve(soil, { ...annual, germination: { ...annual.germination, baseTempC: -5 } }, '08-01', {
      p2: null,
      p10: '09-01',
      p50: '11-01',
      p90: '01-10',
    });
    expect(found.errorDays[3]).not.toBeNull();
    expect(Number.isFinite(found.errorDays[3])).toBe(true);
  });
});

describe('running sums', () => {
  const sum = Float64Array.of(0, 0, 2, 2, 6);

  it('sumAt runs straight within a day and ends with the series', () => {
    expect(sumAt(sum, 1.5)).toBe(1);
    expect(sumAt(sum, 4)).toBe(6);
    expect(sumAt(sum, 4.1)).toBe(Number.POSITIVE_INFINITY);
  });

  it('momentOf is the first moment with that sum, Infinity beyond it', () => {
    expect(momentOf(sum, 1)).toBe(1.5);
    expect(momentOf(sum, 2)).toBe(2);
    expect(momentOf(sum, 6)).toBe(4);
    expect(momentOf(sum, 6.1)).toBe(Number.POSITIVE_INFINITY);
    expect(momentOf(sum, 0)).toBe(0);
    expect(momentOf(sum, -3)).toBe(0);
  });
});
