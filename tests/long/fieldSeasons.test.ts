import { expect, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { textureClasses } from '../../src/core/soil/schema.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import { soilConstants } from '../../src/core/soil/texture.ts';
import { weedDays } from '../../src/core/weeds/weeds.ts';
import { catalogue } from '../core/outlook/fields.ts';

const SEASONS = 20_000;
const DAYS = 150;

/** A small seeded generator, so that a failure can be run again. Numerical Recipes' constants (from memory). */
const chance = (seed: number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

const species = catalogue.species.filter((_, i) => i % 4 === 0);

test(`${SEASONS.toLocaleString('en')} random field-seasons from pole to pole: no NaN, water within pores, shares within bounds`, () => {
  for (let seed = 0; seed < SEASONS; seed++) {
    const next = chance(seed);
    const latitudeDeg = -90 + 180 * next();
    const mean = 32 - 0.55 * Math.abs(latitudeDeg) + 8 * (next() - 0.5);
    const wet = next();
    const max = new Float64Array(DAYS);
    const min = new Float64Array(DAYS);
    const rain = new Float64Array(DAYS);
    for (let i = 0; i < DAYS; i++) {
      max[i] = Math.min(60, mean + 10 * Math.sin((i / DAYS) * Math.PI) + 12 * (next() - 0.3));
      min[i] = Math.max(-90, max[i] - 25 * next());
      rain[i] = next() < wet ? 60 * next() ** 4 : 0;
    }
    const nothing = new Float64Array(DAYS).fill(Number.NaN);
    const weather = {
      startDay: dayNumber('2023-01-01') + Math.floor(365 * next()),
      days: DAYS,
      tempMaxC: max,
      tempMinC: min,
      rainMm: rain,
      solarMjPerM2: nothing,
      windMPerS: nothing,
      humidityFrac: nothing,
      origin: new Uint8Array(DAYS),
    };
    const ground = {
      texture: textureClasses[Math.floor(12 * next())] ?? 'loam',
      organicMatterFrac: 0.08 * next(),
      drainage: 'moderate' as const,
      residueCoverFrac: next(),
      slopeFrac: 0,
    };
    const site = { latitudeDeg, longitudeDeg: 0, elevationM: 3000 * next(), timeZone: 'UTC' };
    const soil = soilDays(weather, site, ground, new Float64Array(DAYS).fill(0.9 * next()), []);
    const { saturation } = soilConstants(ground);
    const weeds = weedDays(soil, weather, species.slice(seed % 5, (seed % 5) + 2), [], latitudeDeg < 0);
    const faults: string[] = [];
    for (let i = 0; i < DAYS; i++) {
      for (const layer of soil.waterM3PerM3)
        if (!(layer[i] >= 0 && layer[i] <= saturation + 1e-9)) faults.push(`water ${layer[i]} on day ${i}`);
      if (!(soil.temp5MinC[i] <= soil.temp5MeanC[i] && soil.temp5MeanC[i] <= soil.temp5MaxC[i]))
        faults.push(`temperature on day ${i}`);
      if (!(Math.abs(soil.temp5MeanC[i]) < 100)) faults.push(`temperature ${soil.temp5MeanC[i]} on day ${i}`);
      for (const one of weeds.species) {
        const before = i > 0 ? one.emergedFrac[i - 1] : 0;
        if (!(one.emergedFrac[i] >= before && one.emergedFrac[i] <= 2)) faults.push(`${one.speciesId} on day ${i}`);
        for (const stock of one.stockFrac) if (!(stock[i] >= 0)) faults.push(`${one.speciesId} stock on day ${i}`);
      }
    }
    if (faults.length > 0) expect(faults.slice(0, 5), `seed ${seed}`).toEqual([]);
  }
});
