import { existsSync } from 'node:fs';
import { median } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { monthDayIn } from '../../src/core/base/day.ts';
import { soil } from '../../src/core/soil/schema.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import { site } from '../../src/core/weather/schema.ts';
import { weatherDays } from '../../src/core/weather/weather.ts';
import { flushes } from '../../src/core/weeds/flushes.ts';
import { heatOfDay, warmth } from '../../src/core/weeds/hydrothermal.ts';
import { reachedDay } from '../../src/core/weeds/reached.ts';
import type { Species } from '../../src/core/weeds/schema.ts';
import { weedDays } from '../../src/core/weeds/weeds.ts';
import { weedYear } from '../../src/core/weeds/weedYear.ts';
import { readWeatherFile } from '../../src/sources/weatherFile.ts';

const path = `${process.env.WHITETHREAD_EVIDENCE ?? '../shared'}/data/ames-ia-1988-2018.csv`;
if (!existsSync(path)) console.warn(`No ${path}: tests on the weather of Ames are left out.`);

/** 31 years of bare silt loam at Ames, Iowa, with every species of the catalogue. */
const ames = () => {
  const place = site.parse({ latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300 });
  const { series } = weatherDays(readWeatherFile(path)[0]?.weather as never, place);
  const ground = soilDays(series, place, soil.parse({ texture: 'silt-loam' }), new Float64Array(series.days), []);
  return { ground, weeds: weedDays(ground, series, loadCatalogue().species, [], false) };
};

describe.skipIf(!existsSync(path))('weeds on the weather of Ames 1988-2018', () => {
  const { ground, weeds } = existsSync(path) ? ames() : ({} as ReturnType<typeof ames>);
  const years = Array.from({ length: 31 }, (_, y) => 1988 + y);
  const column = (id: string) => weeds.species.find((one) => one.speciesId === id)?.potentialFrac as Float64Array;
  const day = (id: string, share: number, year: number): number => {
    const newYear = monthDayIn(year, '01-01');
    const from = newYear - weeds.startDay;
    return (reachedDay(column(id), weeds.startDay, share, from) ?? Number.POSITIVE_INFINITY) - newYear;
  };

  it('waterhemp emerges at the pace of Urbana after its first seedling, within a standard deviation there, 17 to 29 points (Schutte & Davis 2014, table 1)', () => {
    const temps = warmth(ground.seedZoneTempC);
    const shares = [100, 300, 600, 900, 1200].map((heat) =>
      years.map((year) => {
        const newYear = monthDayIn(year, '01-01') - weeds.startDay;
        let i = newYear + day('waterhemp', 0.02, year);
        for (let sum = 0; sum < heat; i++) sum += heatOfDay(temps, i, 10, Number.POSITIVE_INFINITY);
        return column('waterhemp')[i] - column('waterhemp')[newYear];
      }),
    );
    const means = shares.map((values) => values.reduce((sum, value) => sum + value, 0) / values.length);
    [0.109, 0.185, 0.737, 0.966, 0.988].forEach((observed, k) => {
      expect(Math.abs((means[k] as number) - observed)).toBeLessThan(0.17);
    });
  });

  it('waterhemp ends in the first days of August (Urbana: 7 August 2008, 27 July 2010)', () => {
    const last = median(years.map((year) => day('waterhemp', 0.99, year)));
    expect(last).toBeGreaterThan(monthDayIn(2001, '07-25') - monthDayIn(2001, '01-01'));
    expect(last).toBeLessThan(monthDayIn(2001, '08-20') - monthDayIn(2001, '01-01'));
  });

  it('lambsquarters comes in 1.5 to 4 flushes a year (Schutte et al. 2014: 2.8 to 3.8; the model is smoother)', () => {
    const weights = weeds.species.map((one) => (one.speciesId === 'common-lambsquarters' ? 1 : 0));
    const kinds = loadCatalogue().species;
    const counts = years.map((year) => {
      const may = monthDayIn(year, '05-01');
      const own = weeds.species.map((one, s) => weedYear(weeds, one, kinds[s] as Species, may, false));
      return flushes(weeds, weights, own).length;
    });
    const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length;
    expect(mean).toBeGreaterThan(1.5);
    expect(mean).toBeLessThan(4);
  });

  it('holds the laws on every day: sums never fall, nothing is NaN, the balance closes to 1e-11', () => {
    for (const one of weeds.species)
      for (let i = 0; i < weeds.days; i++) {
        const standing = one.stockFrac.reduce((sum, stock) => sum + stock[i], 0);
        const open = one.germinatedFrac[i] - standing - one.deadFrac[i];
        if (!(Math.abs(open) < 1e-11) || one.potentialFrac[i] < one.potentialFrac[Math.max(0, i - 1)])
          expect.fail(`${one.speciesId}, day ${i}: ${open} not accounted for, or the curve falls`);
      }
    expect(weeds.days).toBe(11_323);
  });
});
