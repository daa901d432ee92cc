import { existsSync } from 'node:fs';
import { mean } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { monthDayIn } from '../../src/core/base/day.ts';
import { soil } from '../../src/core/soil/schema.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import { soilConstants } from '../../src/core/soil/texture.ts';
import { site } from '../../src/core/weather/schema.ts';
import { weatherDays } from '../../src/core/weather/weather.ts';
import { shallowToolWorkable } from '../../src/core/windows/workability.ts';
import { readWeatherFile } from '../../src/sources/weatherFile.ts';

const path = `${process.env.WHITETHREAD_EVIDENCE ?? '../shared'}/data/ames-ia-1988-2018.csv`;
if (!existsSync(path)) console.warn(`No ${path}: workable days at Ames are left out.`);

/** Workable days of bare silty clay loam at Ames, 2 April to 17 June, year by year. */
const workableDays = (): Map<number, number> => {
  const place = site.parse({ latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300 });
  const ground = soil.parse({ texture: 'silty-clay-loam' });
  const { series } = weatherDays(readWeatherFile(path)[0]?.weather as never, place);
  const days = soilDays(series, place, ground, new Float64Array(series.days), []);
  const workable = shallowToolWorkable(days, series, soilConstants(ground));
  const count = (year: number): number => {
    const from = monthDayIn(year, '04-02') - series.startDay;
    return workable.subarray(from, from + 77).reduce((sum, day) => sum + day, 0);
  };
  return new Map(Array.from({ length: 31 }, (_, y) => [1988 + y, count(1988 + y)]));
};

describe.skipIf(!existsSync(path))('workable days at Ames 1988-2018, of 77 (fieldwork statistics for Iowa)', () => {
  const days = existsSync(path) ? workableDays() : new Map<number, number>();

  it('35 to 45 in the mean of the years', () => {
    const level = mean([...days.values()]);
    expect(level).toBeGreaterThanOrEqual(35);
    expect(level).toBeLessThanOrEqual(45);
  });

  it('under 20 in 1993, which is among the three lowest', () => {
    expect(days.get(1993)).toBeLessThan(20);
    const lower = [...days.values()].filter((count) => count < (days.get(1993) ?? 0));
    expect(lower.length).toBeLessThan(3);
  });
});
