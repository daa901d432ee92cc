import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { sealingIndex } from '../../../src/core/soil/crust.ts';
import { soilParameters } from '../../../src/core/soil/parameters.ts';
import { profileDays } from '../../../src/core/soil/profile.ts';
import { type TextureClass, textureClasses } from '../../../src/core/soil/schema.ts';
import { sodCoverFrac } from '../../../src/core/soil/sod.ts';
import { soilDays } from '../../../src/core/soil/soil.ts';
import { hydraulics, soilConstants } from '../../../src/core/soil/texture.ts';
import type { WeatherDays } from '../../../src/core/weather/series.ts';
import { weatherDays } from '../../../src/core/weather/weather.ts';
import { vegaWeather } from '../weather/samples.ts';
import { ground, type MadeDay, madeWeather, meanOf, showeryWeather, siteAt, soilOf } from './made.ts';

const spread = (values: Float64Array): number => Math.max(...values) - Math.min(...values);

describe('cover', () => {
  const weather = showeryWeather('2024-05-01', 90);
  const bare = soilOf(weather);
  const residue = soilOf(weather, { soil: ground('silt-loam', { residueCoverFrac: 0.6 }) });
  const crop = soilOf(weather, { coverFrac: 0.6 });

  test('residue keeps the soil cooler by day and moister on top', () => {
    expect(meanOf(residue.temp5MaxC)).toBeLessThan(meanOf(bare.temp5MaxC) - 1);
    expect(meanOf(residue.waterM3PerM3[0] as Float64Array)).toBeGreaterThan(
      meanOf(bare.waterM3PerM3[0] as Float64Array),
    );
  });

  test('a crop shades as much as residue does, and drinks besides', () => {
    expect(meanOf(crop.temp5MaxC)).toBeLessThan(meanOf(bare.temp5MaxC) - 1);
    expect(meanOf(crop.transpirationMm)).toBeGreaterThan(0.5);
    expect(residue.transpirationMm.every((mm) => mm === 0)).toBe(true);
    expect(meanOf(crop.waterM3PerM3[4] as Float64Array)).toBeLessThan(meanOf(residue.waterM3PerM3[4] as Float64Array));
  });

  test('bare tilled ground is 2 to 4 C warmer than the air in spring (observed, soil-temperature stations)', () => {
    const spring = showeryWeather('2024-01-01', 150);
    const soil = soilOf(spring);
    let excess = 0;
    for (let i = 105; i < 150; i++)
      excess += soil.temp5MeanC[i] - ((spring.tempMaxC[i] as number) + (spring.tempMinC[i] as number)) / 2;
    expect(excess / 45).toBeGreaterThan(2);
    expect(excess / 45).toBeLessThan(4.5);
  });

  test('mown grass is full in summer and thins to a third in winter', () => {
    const year = showeryWeather('2024-01-01', 366);
    const cover = sodCoverFrac(0.85, year);
    expect(Math.max(...cover)).toBeCloseTo(0.85, 10);
    expect(Math.min(...cover)).toBeCloseTo(0.85 * soilParameters.sod.dormantFrac, 10);
    expect(meanOf(cover, 180, 240)).toBeCloseTo(0.85, 2);
  });
});

describe('winter', () => {
  const cold = (snow: boolean) =>
    soilOf(
      madeWeather('2024-11-15', 75, (i) => ({
        max: i < 20 ? 6 : -6,
        min: i < 20 ? -1 : -16,
        rain: snow && i === 25 ? 30 : 0,
      })),
    );
  const covered = cold(true);
  const open = cold(false);

  test('rain of a day below freezing lies as snow until it melts', () => {
    expect(covered.snowMm[24]).toBe(0);
    expect(covered.snowMm[25]).toBe(30);
    expect(covered.snowMm[74]).toBe(30);
    expect(covered.evaporationMm[40]).toBe(0);
  });

  test('snow insulates: soil under 30 mm of it is warmer, and its days are evener', () => {
    expect(meanOf(covered.temp5MeanC, 40, 75)).toBeGreaterThan(meanOf(open.temp5MeanC, 40, 75) + 1);
    expect(covered.temp5MaxC[60] - covered.temp5MinC[60]).toBeLessThan(open.temp5MaxC[60] - open.temp5MinC[60]);
  });

  test('ground at or below 0 C at 5 cm is told as frozen', () => {
    expect(open.frozen[70]).toBe(1);
    expect(open.frozen[5]).toBe(0);
  });

  test('it melts by 3 mm a degree and day, and the water goes into the soil', () => {
    const soil = soilOf(
      madeWeather('2024-02-01', 40, (i) => ({ max: i < 10 ? -5 : 7, min: i < 10 ? -9 : 1, rain: i === 2 ? 40 : 0 })),
    );
    expect([9, 10, 11, 12, 13].map((i) => soil.snowMm[i])).toEqual([40, 28, 16, 4, 0]);
  });
});

describe('a pass', () => {
  const dryingDays = (i: number): MadeDay => ({ max: 25, min: 12, rain: i === 5 ? 25 : 0 });
  const weather = madeWeather('2024-05-10', 30, dryingDays);
  const passOn = (i: number, depthCm = 5, groundFrac = 1) => [{ day: weather.startDay + i, depthCm, groundFrac }];
  const untouched = soilOf(weather);
  const worked = soilOf(weather, { passes: passOn(7) });
  const top = (soil: typeof worked, i: number) => soil.waterM3PerM3[0]?.[i] as number;
  const seedbed = (soil: typeof worked, i: number) => soil.waterM3PerM3[1]?.[i] as number;

  test('changes nothing before its day', () => {
    expect(worked.temp5MeanC.slice(0, 7)).toEqual(untouched.temp5MeanC.slice(0, 7));
  });

  test('dries the stirred top faster and shields the seedbed below', () => {
    expect(top(worked, 7)).toBeLessThan(top(untouched, 7) - 0.005);
    expect(seedbed(worked, 12)).toBeGreaterThan(seedbed(untouched, 12));
  });

  test('a loose top insulates: the daily swing at 5 cm shrinks', () => {
    const swing = (soil: typeof worked) => meanOf(soil.temp5MaxC, 9, 16) - meanOf(soil.temp5MinC, 9, 16);
    expect(swing(worked)).toBeLessThan(swing(untouched));
  });

  test('15 mm of rain settle loose soil to a third, 60 mm to nothing', () => {
    const washed = madeWeather('2024-05-10', 60, (i) => ({ max: 25, min: 12, rain: i === 10 ? 60 : 0 }));
    const passes = [{ day: washed.startDay + 5, depthCm: 5, groundFrac: 1 }];
    const difference = top(soilOf(washed, { passes }), 20) - top(soilOf(washed), 20);
    expect(Math.abs(difference)).toBeLessThan(0.003);
  });

  test('of several on a day the deepest counts, in whatever order', () => {
    const twice = [...passOn(7, 2.5, 0.5), ...passOn(7, 8)];
    expect(soilOf(weather, { passes: twice })).toEqual(soilOf(weather, { passes: passOn(7, 8) }));
    expect(soilOf(weather, { passes: [...twice].reverse() })).toEqual(soilOf(weather, { passes: passOn(7, 8) }));
  });

  test('a hand crew that pulls on the day of a hoe leaves it its work; between the rows and over all count as over all', () => {
    const hoed = soilOf(weather, { passes: passOn(7, 2.5) });
    for (const other of [passOn(7, 2.5, 0), passOn(7, 9, 0), passOn(7, 2.5, 0.1)]) {
      expect(soilOf(weather, { passes: [...passOn(7, 2.5), ...other] })).toEqual(hoed);
      expect(soilOf(weather, { passes: [...other, ...passOn(7, 2.5)] })).toEqual(hoed);
    }
  });
});

describe('crust', () => {
  const pounding = (i: number): MadeDay => ({ max: 26, min: 12, rain: i === 5 ? 22 : 0 });
  const crustDays = (
    texture: TextureClass,
    { weather = madeWeather('2024-05-10', 25, pounding), residueCoverFrac = 0, coverFrac = 0, workOn = -1 } = {},
  ) =>
    soilOf(weather, {
      soil: ground(texture, { residueCoverFrac }),
      coverFrac,
      passes: [{ day: weather.startDay + workOn, depthCm: 2.5, groundFrac: 0.9 }],
    }).crusted;
  const first = (flags: Uint8Array) => flags.indexOf(1);

  test('22 mm on bare silt, then dry days of 26 C: a crust within a week, and it stays while it is dry', () => {
    const flags = crustDays('silt');
    expect(first(flags)).toBeGreaterThan(6);
    expect(first(flags)).toBeLessThan(13);
    expect(flags[24]).toBe(1);
  });

  test.each(textureClasses.map((texture) => [texture, sealingIndex(soilConstants(ground(texture)))] as const))(
    '%s has sealing index %d, low is prone (Huinink 2018); it crusts when that is at most 5.5',
    (texture, index) => {
      expect(crustDays(texture).includes(1)).toBe(index <= 5.5);
    },
  );

  test('prone are silt, silt loam and sandy loam; never sand, clay and the clay loams', () => {
    const prone = textureClasses.filter((texture) => crustDays(texture).includes(1));
    expect(prone).toEqual(['sandy-loam', 'silt-loam', 'silt']);
  });

  test('organic matter holds the crumbs together: silt loam of 4 % does not seal', () => {
    expect(sealingIndex(soilConstants(ground('silt-loam', { organicMatterFrac: 0.04 })))).toBeGreaterThan(5.5);
  });

  test('not under residue or a crop that breaks the drops', () => {
    expect(crustDays('silt', { residueCoverFrac: 0.5 })).not.toContain(1);
    expect(crustDays('silt', { coverFrac: 0.5 })).not.toContain(1);
  });

  test('not where it stays cool, nor after light rain, but after 21 mm in three days', () => {
    const cool = madeWeather('2024-05-10', 25, (i) => ({ ...pounding(i), max: 18, min: 8 }));
    expect(crustDays('silt', { weather: cool })).not.toContain(1);
    const light = madeWeather('2024-05-10', 25, (i) => ({ max: 26, min: 12, rain: i === 5 ? 11 : 0 }));
    expect(crustDays('silt', { weather: light })).not.toContain(1);
    const spread = madeWeather('2024-05-10', 25, (i) => ({ max: 26, min: 12, rain: i > 4 && i < 8 ? 7 : 0 }));
    expect(crustDays('silt', { weather: spread })).toContain(1);
  });

  test('a pass breaks it and 3 mm of rain soften it', () => {
    const formed = first(crustDays('silt'));
    expect(crustDays('silt', { workOn: formed + 2 }).slice(formed, formed + 4)).toEqual(Uint8Array.of(1, 1, 0, 0));
    const shower = madeWeather('2024-05-10', 25, (i) => ({
      ...pounding(i),
      rain: i === 5 ? 22 : i === formed + 2 ? 3 : 0,
    }));
    expect(crustDays('silt', { weather: shower }).slice(formed, formed + 4)).toEqual(Uint8Array.of(1, 1, 0, 0));
  });
});

describe('texture', () => {
  test('wilting point, field capacity and saturation keep their order over the whole triangle, pure sand and clay too', () => {
    for (const organicMatterFrac of [0, 0.025, 0.08])
      for (let sand = 0; sand <= 100; sand += 5)
        for (let clay = 0; sand + clay <= 100; clay += 5) {
          const soil = hydraulics(sand / 100, clay / 100, organicMatterFrac);
          expect(Object.values(soil).every(Number.isFinite)).toBe(true);
          expect(soil.wiltingPoint).toBeGreaterThan(0);
          expect(soil.fieldCapacity).toBeGreaterThan(soil.wiltingPoint);
          expect(soil.saturation).toBeGreaterThan(soil.fieldCapacity);
          expect(soil.saturation).toBeLessThan(0.8);
        }
  });

  test.each([
    [1, 0, 0],
    [0, 1, 0.08],
    [0, 0, 0],
    [0.36, 0.64, 0.08],
  ])('sand %d, clay %d, organic matter %d: a year runs through', (sandFrac, clayFrac, organicMatterFrac) => {
    const soil = {
      sandFrac,
      clayFrac,
      organicMatterFrac,
      drainage: 'moderate',
      residueCoverFrac: 0,
      slopeFrac: 0,
    } as const;
    const out = soilOf(showeryWeather('2024-01-01', 366), { soil });
    expect(out.seedbedPotentialMPa.every((mpa) => mpa <= 0 && mpa >= -15)).toBe(true);
  });
});

describe('the first profile', () => {
  test('forgets: two starts a year apart agree to 0.3 C at 5 cm after two months', () => {
    const long = showeryWeather('2022-05-01', 730);
    const short = {
      ...long,
      startDay: long.startDay + 365,
      days: 365,
      tempMaxC: long.tempMaxC.slice(365),
      tempMinC: long.tempMinC.slice(365),
      rainMm: long.rainMm.slice(365),
    };
    const warm = soilOf(long).temp5MeanC.slice(365);
    const cold = soilOf(short).temp5MeanC;
    for (let i = 60; i < 365; i++) expect(Math.abs((warm[i] as number) - (cold[i] as number))).toBeLessThan(0.3);
  });

  /** Mean at 5 cm over 40 days from 10 April 2014 of Seattle, told from weather that runs from a date to 20 July. */
  const seattleApril = (from: string): number => {
    const place = { ...siteAt(47.45), longitudeDeg: -122.3 };
    const { series } = weatherDays(vegaWeather('Seattle'), place);
    const [first, end, april] = [from, '2014-07-21', '2014-04-10'].map((date) => dayNumber(date) - series.startDay);
    const cut = Object.entries(series).map(([name, v]) => [name, typeof v === 'number' ? v : v.slice(first, end)]);
    const days = (end as number) - (first as number);
    const part = { ...Object.fromEntries(cut), startDay: series.startDay + (first as number), days } as WeatherDays;
    const { temp5MeanC } = soilDays(part, place, ground('silt-loam'), new Float64Array(days), []);
    return meanOf(temp5MeanC, (april as number) - (first as number), (april as number) - (first as number) + 40);
  };

  test('near an ocean a spring told from January or March on is as warm as with the years before it (observed, vega-datasets)', () => {
    const known = seattleApril('2012-01-01');
    // From latitude alone they began as cold below as inland, and were 0.5 to 0.7 C short of it.
    expect(Math.abs(seattleApril('2014-01-01') - known)).toBeLessThan(0.25);
    expect(Math.abs(seattleApril('2014-03-01') - known)).toBeLessThan(0.25);
  });

  test('rests on the first month, and on a year from 350 days on: between them a day more moves nothing', () => {
    expect([0, 29, 30, 100, 349, 350, 365, 4000].map(profileDays)).toEqual([0, 0, 30, 30, 30, 350, 365, 365]);
  });

  test('a short series in the south starts with the seasons turned round', () => {
    const made = () => madeWeather('2024-07-01', 20, () => ({ max: 12, min: 4, rain: 0 }));
    const north = soilOf(made(), { latitudeDeg: 42 });
    const south = soilOf(made(), { latitudeDeg: -42 });
    // In July the deep soil of the south is warmer than its surface.
    expect(spread(south.temp10MeanC)).toBeLessThan(12);
    expect(south.temp10MeanC[19]).toBeLessThan(north.temp10MeanC[19] as number);
  });
});

describe('sand and clay', () => {
  const reckoned = (texture: TextureClass, rest: Parameters<typeof ground>[1]) => {
    const { sandFrac, clayFrac } = soilConstants(ground(texture, rest));
    return [sandFrac, clayFrac];
  };

  test('what was measured goes before the class, which counts for the other', () => {
    const [sand, clay] = reckoned('loam', {});
    expect(reckoned('loam', { sandFrac: 0.5 })).toEqual([0.5, clay]);
    expect(reckoned('loam', { clayFrac: 0.1 })).toEqual([sand, 0.1]);
    expect(reckoned('loam', { sandFrac: 0.6, clayFrac: 0 })).toEqual([0.6, 0]);
  });

  test('the class counts for at most what the measured share leaves', () => {
    for (const texture of textureClasses)
      for (const rest of [{ sandFrac: 0.9 }, { sandFrac: 1 }, { clayFrac: 0.9 }, { clayFrac: 1 }]) {
        const [sand = 2, clay = 2] = reckoned(texture, rest);
        expect(Math.min(sand, clay)).toBeGreaterThanOrEqual(0);
        expect(sand + clay).toBeLessThanOrEqual(1);
      }
    expect(reckoned('clay', { sandFrac: 0.9 })).toEqual([0.9, expect.closeTo(0.1, 12)]);
  });
});
