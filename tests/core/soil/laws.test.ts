import fc from 'fast-check';
import { describe, expect, test, vi } from 'vitest';
import type { SoilDays, SoilPass } from '../../../src/core/soil/days.ts';
import { LAYERS, layerThicknessMm } from '../../../src/core/soil/layers.ts';
import { soilParameters } from '../../../src/core/soil/parameters.ts';
import { textureClasses } from '../../../src/core/soil/schema.ts';
import { soilDays } from '../../../src/core/soil/soil.ts';
import { soilConstants } from '../../../src/core/soil/texture.ts';
import type { WeatherDays } from '../../../src/core/weather/series.ts';
import { ground, madeWeather, showeryWeather, siteAt, soilOf } from './made.ts';

// Room for a busy machine.
vi.setConfig({ testTimeout: 30_000 });

const texture = fc.constantFrom(...textureClasses);
const seed = fc.integer({ min: 0, max: 2 ** 31 });
const drainage = fc.constantFrom('poor', 'moderate', 'good' as const);
const share = fc.double({ min: 0, max: 1, noNaN: true });

const everyNumber = (soil: SoilDays): Float64Array[] =>
  Object.values(soil)
    .flatMap((column) => (Array.isArray(column) ? column : [column]))
    .filter((column) => column instanceof Float64Array);

const water = (soil: SoilDays, i: number): number =>
  soil.waterM3PerM3.reduce((sum, layer, k) => sum + (layer[i] as number) * (layerThicknessMm[k] as number), 0) +
  (soil.snowMm[i] as number);

describe('laws of the soil, on invented years of every texture, cover and latitude', () => {
  test('water closes to 1e-9 mm a day, stays between air-dry and saturated, and no number is lost', () => {
    fc.assert(
      fc.property(
        texture,
        drainage,
        share,
        share,
        seed,
        fc.integer({ min: -90, max: 90 }),
        (kind, drains, coverFrac, residueCoverFrac, random, latitudeDeg) => {
          const weather = showeryWeather('2023-10-01', 300, { seed: random, meanC: 26 - 0.4 * Math.abs(latitudeDeg) });
          const soil = ground(kind, { drainage: drains, residueCoverFrac });
          const constants = soilConstants(soil);
          const out = soilOf(weather, { latitudeDeg, soil, coverFrac });
          for (let i = 1; i < weather.days; i++) {
            const gone =
              out.evaporationMm[i] + out.transpirationMm[i] + out.runoffMm[i] + out.drainageMm[i] + water(out, i);
            expect(Math.abs(water(out, i - 1) + weather.rainMm[i] - gone)).toBeLessThanOrEqual(1e-9);
          }
          for (let k = 0; k < LAYERS; k++) {
            const layer = out.waterM3PerM3[k] as Float64Array;
            const driest = (k === 0 ? 0.5 : soilParameters.water.keptFrac) * constants.wiltingPoint;
            for (const content of layer) {
              expect(content).toBeGreaterThanOrEqual(driest - 1e-12);
              expect(content).toBeLessThanOrEqual(constants.saturation);
            }
          }
          for (const column of everyNumber(out)) expect(column.every(Number.isFinite)).toBe(true);
          for (const column of [out.evaporationMm, out.transpirationMm, out.runoffMm, out.drainageMm, out.snowMm])
            expect(column.every((mm) => mm >= 0)).toBe(true);
          for (const column of [out.surfacePotentialMPa, out.seedbedPotentialMPa])
            expect(column.every((mpa) => mpa <= 0 && mpa >= -15)).toBe(true);
        },
      ),
      { numRuns: 25 },
    );
  });

  test('nothing that was given is changed', () => {
    const weather = showeryWeather('2024-01-01', 200);
    const cover = new Float64Array(200).fill(0.3);
    const passes: SoilPass[] = [{ day: weather.startDay + 120, depthCm: 5, groundFrac: 1 }];
    const before = structuredClone({ weather, cover, passes });
    const soil = Object.freeze(ground('loam'));
    const first = soilDays(weather, Object.freeze(siteAt(42)), soil, cover, passes);
    expect({ weather, cover, passes }).toEqual(before);
    expect(soilDays(weather, siteAt(42), soil, cover, passes)).toEqual(first);
  });

  const warmed = (weather: WeatherDays, byC: number): WeatherDays => ({
    ...weather,
    tempMaxC: weather.tempMaxC.map((t) => t + byC),
    tempMinC: weather.tempMinC.map((t) => t + byC),
  });

  test('warmer air never cools the soil: no day at 5 or 10 cm, by 0.5 to 6 C, where there is no snow', () => {
    // Snow is left out because its loss does cool a soil: it is a blanket.
    let worst = 0;
    fc.assert(
      fc.property(
        texture,
        seed,
        fc.double({ min: 0.5, max: 6, noNaN: true }),
        share,
        (kind, random, byC, coverFrac) => {
          const weather = showeryWeather('2024-04-01', 150, { seed: random, meanC: 14, swingC: 8 });
          const given = { soil: ground(kind), coverFrac };
          const cool = soilOf(weather, given);
          const warm = soilOf(warmed(weather, byC), given);
          fc.pre(cool.snowMm.every((mm) => mm === 0));
          for (let i = 0; i < weather.days; i++) {
            worst = Math.min(worst, warm.temp5MeanC[i] - cool.temp5MeanC[i], warm.temp10MeanC[i] - cool.temp10MeanC[i]);
          }
        },
      ),
      { numRuns: 100 },
    );
    expect(worst).toBeGreaterThanOrEqual(0);
  });

  const water3 = (soil: SoilDays, k: number, i: number) => soil.waterM3PerM3[k]?.[i] as number;

  test('less rain never makes a layer wetter by more than 0.015 m3/m3, a slip of the daily step, where nothing was worked', () => {
    // The second layer dries by a steep power of its wetness: the wetter of two may overtake the drier within one step.
    let worst = 0;
    fc.assert(
      fc.property(texture, drainage, seed, share, share, (kind, drains, random, kept, coverFrac) => {
        const weather = showeryWeather('2024-03-01', 200, { seed: random });
        const given = { soil: ground(kind, { drainage: drains }), coverFrac };
        const wet = soilOf(weather, given);
        const dry = soilOf({ ...weather, rainMm: weather.rainMm.map((mm) => kept * mm) }, given);
        for (let k = 0; k < LAYERS; k++)
          for (let i = 0; i < weather.days; i++) worst = Math.max(worst, water3(dry, k, i) - water3(wet, k, i));
      }),
      { numRuns: 100, seed: 3 },
    );
    expect(worst).toBeLessThan(0.015);
  });

  test('no rain at all adds no wet day: none above 0.9 of field capacity at 0-2.5 or 2.5-7.5 cm (N3)', () => {
    fc.assert(
      fc.property(texture, drainage, seed, share, (kind, drains, random, coverFrac) => {
        const weather = showeryWeather('2024-03-01', 200, { seed: random });
        const soil = ground(kind, { drainage: drains });
        const limit = 0.9 * soilConstants(soil).fieldCapacity;
        const wet = soilOf(weather, { soil, coverFrac });
        const dry = soilOf({ ...weather, rainMm: weather.rainMm.map(() => 0) }, { soil, coverFrac });
        for (const k of [0, 1])
          for (let i = 0; i < weather.days; i++)
            expect(water3(dry, k, i) > limit && water3(wet, k, i) <= limit).toBe(false);
      }),
      { numRuns: 100, seed: 4 },
    );
  });

  test('a day more of weather changes no day before the last', () => {
    const weather = showeryWeather('2024-03-01', 120);
    const shorter = {
      ...weather,
      days: 119,
      tempMaxC: weather.tempMaxC.slice(0, 119),
      tempMinC: weather.tempMinC.slice(0, 119),
      rainMm: weather.rainMm.slice(0, 119),
    };
    const long = soilOf(weather);
    const short = soilOf(shorter);
    // The last evening runs towards the next day's lowest, which the shorter series does not know.
    expect(short.temp5MeanC.slice(0, 118)).toEqual(long.temp5MeanC.slice(0, 118));
    expect(short.waterM3PerM3[0]).toEqual((long.waterM3PerM3[0] as Float64Array).slice(0, 119));
  });
});

describe('short and odd series', () => {
  test('a single day works', () => {
    const out = soilOf(madeWeather('2024-05-01', 1, () => ({ max: 22, min: 10, rain: 3 })));
    expect(out.days).toBe(1);
    expect(out.seedZoneTempC).toHaveLength(24);
    expect(out.temp5MeanC[0]).toBeGreaterThan(10);
    expect(out.temp5MeanC[0]).toBeLessThan(25);
  });

  test('the year change is a day like any other: no step in temperature or water over New Year', () => {
    const out = soilOf(madeWeather('2023-12-01', 62, () => ({ max: 8, min: 2, rain: 0.5 })));
    for (let i = 20; i < 61; i++) {
      expect(Math.abs(out.temp5MeanC[i + 1] - out.temp5MeanC[i])).toBeLessThan(0.15);
      expect(Math.abs((out.waterM3PerM3[1]?.[i + 1] ?? 9) - (out.waterM3PerM3[1]?.[i] ?? 0))).toBeLessThan(0.002);
    }
  });

  test('passes before and after the series are left aside', () => {
    const weather = showeryWeather('2024-05-01', 60);
    const outside = [-1, 60].map((i) => ({ day: weather.startDay + i, depthCm: 5, groundFrac: 1 }));
    expect(soilOf(weather, { passes: outside })).toEqual(soilOf(weather));
  });

  test('a balance that does not close is told as a fault of the program, with its day', () => {
    const weather = showeryWeather('2024-05-01', 10);
    weather.rainMm[4] = Number.NaN;
    expect(() => soilOf(weather)).toThrow(/soil water on 2024-05-05: given NaN mm unexplained/);
  });
});
