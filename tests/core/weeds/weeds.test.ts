import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import type { SpeciesDays, WeedPass } from '../../../src/core/weeds/days.ts';
import type { Species } from '../../../src/core/weeds/schema.ts';
import { weedStages } from '../../../src/core/weeds/schema.ts';
import { REGROWTH_FRAC, weedDays } from '../../../src/core/weeds/weeds.ts';
import {
  annual,
  type Climate,
  evenKill,
  passOf,
  perennial,
  syntheticSoil,
  syntheticWeather,
  winterAnnual,
} from './synthetic.ts';

const START = dayNumber('2021-01-01');
const kinds = [annual, winterAnnual, perennial, { ...annual, id: 'stirred', stirFactor: 1.8 }];

const run = (
  species: Species,
  passes: readonly WeedPass[] = [],
  climate: Climate = {},
  startDay = START,
  days = 365,
): SpeciesDays => {
  const soil = syntheticSoil(startDay, days, climate);
  const weather = syntheticWeather(startDay, days, climate);
  return weedDays(soil, weather, [species], passes, climate.southern ?? false).species[0] as SpeciesDays;
};

const standing = (one: SpeciesDays, i: number): number => one.stockFrac.reduce((sum, column) => sum + column[i], 0);
const last = (column: Float64Array): number => column[column.length - 1];

const anyPasses = fc.array(
  fc
    .tuple(fc.integer({ min: -20, max: 1110 }), fc.double({ min: 0, max: 1, noNaN: true }), fc.boolean())
    .map(([at, kill, stirs]) => passOf(START + at, evenKill(kill), stirs ? 0.7 : 0)),
  { maxLength: 12 },
);
const anyKind = fc.constantFrom(...kinds);
const anyClimate = fc.record({
  meanC: fc.double({ min: 2, max: 22, noNaN: true }),
  dry: fc.constantFrom(
    (day: number) => day % 17 < 6,
    () => false,
  ),
});

describe('weedDays, laws', () => {
  it('germinated = white thread + standing + dead on every morning, to 1e-12, over three years', () => {
    fc.assert(
      fc.property(anyKind, anyPasses, anyClimate, (species, passes, climate) => {
        const one = run(species, passes, climate, START, 1100);
        for (let i = 0; i < 1100; i++)
          if (Math.abs(one.germinatedFrac[i] - standing(one, i) - one.deadFrac[i]) > 1e-12) return false;
        return true;
      }),
      { numRuns: 60 },
    );
  });

  it('sums never fall, stocks are never below 0, emerged <= potential <= germinated', () => {
    fc.assert(
      fc.property(anyKind, anyPasses, anyClimate, (species, passes, climate) => {
        const one = run(species, passes, climate, START, 1100);
        for (let i = 0; i < 1100; i++) {
          if (one.stockFrac.some((column) => !(column[i] >= 0))) return false;
          if (one.emergedFrac[i] > one.potentialFrac[i] + 1e-12) return false;
          if (one.potentialFrac[i] > one.germinatedFrac[i] + 1e-12) return false;
          for (const column of [one.germinatedFrac, one.potentialFrac, one.emergedFrac, one.deadFrac])
            if (i > 0 && column[i] < column[i - 1]) return false;
        }
        return true;
      }),
      { numRuns: 60 },
    );
  });

  it('until frost what lives only moves to older stages: no stage older than any other ever shrinks without a pass', () => {
    for (const species of kinds) {
      const one = run(species, [], {}, START, 58);
      const full = run(species);
      expect(one.germinatedFrac).toEqual(full.germinatedFrac.slice(0, 58));
      // From `from` on upwards, stocks can only gain within a weed year.
      const ends = { winterAnnual: '2021-08-01', summerAnnual: '2021-11-01', perennialShoot: '2021-11-01' } as const;
      const until = dayNumber(ends[species.lifeForm]) - START;
      for (let from = 1; from < weedStages.length; from++) {
        let before = 0;
        const first = species.lifeForm === 'perennialShoot' ? 91 : 59;
        for (let i = first; i < until; i++) {
          const older = full.stockFrac.slice(from).reduce((sum, column) => sum + column[i], 0);
          expect(older).toBeGreaterThanOrEqual(before - 1e-12);
          before = older;
        }
      }
    }
  });

  it('a warmer soil is never later below the optimum, wet or with dry spells', () => {
    fc.assert(
      fc.property(
        anyKind,
        fc.double({ min: 2, max: 12, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (species, meanC, warmerC) => {
          const dry = (day: number) => day % 13 < 5;
          // Below the optimum: no hour of these years is above it but for the winter annual, which is left unbounded.
          const kind = { ...species, germination: { ...species.germination, optimumTempC: 60 } };
          const cool = run(kind, [], { meanC, dry });
          const warm = run(kind, [], { meanC: meanC + warmerC, dry });
          return cool.potentialFrac.every((value, i) => warm.potentialFrac[i] >= value - 1e-12);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('an undisturbed year sends up all, and the whole year of three runs on to 3', () => {
    const one = run(annual, [], { meanC: 14 }, dayNumber('2021-02-01'), 3 * 365);
    expect(last(one.emergedFrac)).toBeCloseTo(3, 9);
    one.emergedFrac.forEach((value, i) => {
      expect(value).toBeCloseTo(one.potentialFrac[i], 12);
    });
  });

  it('seeds wait while both layers are drier than psi_b, and go at w0 when only the surface is moist', () => {
    const dry = run(annual, [], { dry: () => true });
    expect(last(dry.germinatedFrac)).toBe(0);
    const soil = syntheticSoil(START, 365);
    soil.seedbedPotentialMPa.fill(-3);
    const weather = syntheticWeather(START, 365);
    const slow = weedDays(soil, weather, [annual], [], false).species[0] as SpeciesDays;
    const fast = run({
      ...annual,
      germination: {
        ...annual.germination,
        components: [
          { season: 'spring', shareFrac: 1, start: '03-01', lagCd: 80 / 0.6, scaleCd: 250 / 0.6, shape: 1.5 },
        ],
      },
    });
    for (let i = 0; i < 365; i++) expect(slow.germinatedFrac[i]).toBeCloseTo(fast.germinatedFrac[i], 9);
  });

  it('takes the year in the south six months later', () => {
    const north = run(annual, [], {}, dayNumber('2021-03-01'), 180);
    const south = run(annual, [], { southern: true }, dayNumber('2021-09-01'), 180);
    const half = (one: SpeciesDays) => one.potentialFrac.findIndex((value) => value >= 0.5);
    expect(Math.abs(half(north) - half(south))).toBeLessThanOrEqual(2);
  });
});

describe('weedDays, the white thread', () => {
  const CONSTANT_C = 20;
  /** Constant 20 C: 10 C d a day for germination and elongation on base 10. */
  const steady = (needed: number): SpeciesDays => {
    const startDay = dayNumber('2021-03-01');
    const soil = syntheticSoil(startDay, 40);
    soil.seedZoneTempC.fill(CONSTANT_C);
    const species: Species = {
      ...annual,
      germination: {
        ...annual.germination,
        baseTempC: 10,
        components: [{ season: 'spring', shareFrac: 1, start: '03-01', lagCd: 0, scaleCd: 100, shape: 1 }],
      },
      elongation: { baseTempC: 10, lagCd: needed, perCmCd: 0, depthCm: 1 },
    };
    return weedDays(soil, syntheticWeather(startDay, 40), [species], [], false).species[0] as SpeciesDays;
  };

  it('comes up 3 days after germination when 30 C d are needed at 10 C d a day', () => {
    const one = steady(30);
    for (let i = 3; i < 40; i++) expect(one.potentialFrac[i]).toBeCloseTo(one.germinatedFrac[i - 3], 12);
    expect(one.potentialFrac[3]).toBe(0);
  });

  it('comes up between the days when 25 C d are needed, half of a day and half of the next', () => {
    const one = steady(25);
    for (let i = 4; i < 40; i++)
      expect(one.potentialFrac[i]).toBeCloseTo((one.germinatedFrac[i - 3] + one.germinatedFrac[i - 2]) / 2, 12);
  });

  it('germinates 1 - exp(-1) of the year in 100 C d', () => {
    expect(steady(30).germinatedFrac[10]).toBeCloseTo(1 - Math.exp(-1), 12);
  });

  it('waits in the ground through a cold spell that still lets seeds germinate (two bases, Shrestha et al. 1999)', () => {
    const startDay = dayNumber('2021-04-01');
    const soil = syntheticSoil(startDay, 60);
    soil.seedZoneTempC.fill(7.5);
    soil.seedZoneTempC.fill(20, 24 * 30);
    const ragweed: Species = {
      ...annual,
      germination: { ...perennial.germination, baseTempC: 3.6 },
      elongation: { baseTempC: 7.7, lagCd: 20, perCmCd: 10, depthCm: 1.5 },
    };
    const one = weedDays(soil, syntheticWeather(startDay, 60), [ragweed], [], false).species[0] as SpeciesDays;
    expect(one.germinatedFrac[30]).toBeGreaterThan(0);
    expect(one.potentialFrac[30]).toBe(0);
    // 35 C d at 12.3 a day: on the third day.
    expect(one.potentialFrac[32]).toBe(0);
    expect(one.potentialFrac[33]).toBeGreaterThanOrEqual(one.germinatedFrac[30]);
  });
});

describe('weedDays, passes', () => {
  const at = dayNumber('2021-05-10');

  it('killing reduces what comes up later, stage by stage, and is gone from the next morning on', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.05, max: 1, noNaN: true }), (kill) => {
        const without = run(annual);
        const one = run(annual, [passOf(at, evenKill(kill))]);
        const i = at - START;
        return (
          Math.abs(one.deadFrac[i + 1] - one.deadFrac[i] - kill * standing(without, i)) < 1e-12 &&
          last(one.emergedFrac) < last(without.emergedFrac) &&
          last(one.potentialFrac) === last(without.potentialFrac)
        );
      }),
      { numRuns: 20 },
    );
  });

  it('a clean pass empties the field that morning; later seedlings are untouched', () => {
    const one = run(annual, [passOf(at, evenKill(1))]);
    const without = run(annual);
    const i = at - START;
    const upAfter = last(without.emergedFrac) - without.germinatedFrac[i];
    expect(standing(one, dayNumber('2021-11-01') - START)).toBeCloseTo(upAfter, 12);
  });

  it('two passes on one day work one after the other: 1 - 0.5 x 0.5', () => {
    const one = run(annual, [passOf(at, evenKill(0.5)), passOf(at, evenKill(0.5))]);
    const i = at - START;
    expect(one.deadFrac[i + 1]).toBeCloseTo(0.75 * standing(one, i), 12);
  });

  it('passes before the series or after it change nothing', () => {
    const outside = [passOf(START - 1, evenKill(1), 1), passOf(START + 365, evenKill(1), 1)];
    expect(run(annual, outside)).toEqual(run(annual));
  });

  it('does not change its input', () => {
    const soil = syntheticSoil(START, 100);
    const passes = [passOf(at, evenKill(1)), passOf(at - 20, evenKill(0.5))];
    const copy = structuredClone({ soil, passes });
    weedDays(soil, syntheticWeather(START, 100), [annual], passes, false);
    expect({ soil, passes }).toEqual(copy);
  });

  it('what stands on a morning by the day it came up is all that stands but the white threads', () => {
    const asked = fc.integer({ min: 0, max: 399 });
    fc.assert(
      fc.property(anyKind, anyPasses, asked, (species, passes, i) => {
        const soil = syntheticSoil(START, 400);
        const weather = syntheticWeather(START, 400);
        const one = weedDays(soil, weather, [species], passes, false, START + i).species[0] as SpeciesDays;
        expect(one.standingFrac).toHaveLength(i);
        const up = one.standingFrac.reduce((sum, frac) => sum + frac, 0);
        expect(up).toBeCloseTo(standing(one, i) - (one.stockFrac[0] as Float64Array)[i], 9);
        // Nobody stands who came up in days on which none did.
        const ups = one.emergedFrac;
        expect(one.standingFrac.every((frac, k) => frac <= ups[k + 1] - ups[k] + 1e-12 && frac >= 0)).toBe(true);
      }),
    );
  });

  it('shoots of a perennial come again from the root, so that one clean pass leaves most of them by autumn', () => {
    const pass = passOf(dayNumber('2021-06-15'), evenKill(1));
    const one = run(perennial, [pass]);
    expect(standing(one, 167) - (one.stockFrac[0] as Float64Array)[167]).toBeCloseTo(0, 2);
    expect(standing(one, 300)).toBeCloseTo(REGROWTH_FRAC * standing(run(perennial), 165), 2);
  });

  it('six removals three weeks apart leave a quarter of the shoots: at least 75 % fewer is reported (weeds of organic systems)', () => {
    const passes = [0, 1, 2, 3, 4, 5].map((k) => passOf(dayNumber('2021-06-01') + 21 * k, evenKill(1)));
    const left = standing(run(perennial, passes), 320) / standing(run(perennial), 320);
    expect(left).toBeGreaterThan(0.2);
    expect(left).toBeLessThan(0.3);
  });

  it('stirring makes a responding species germinate 1.8 times as fast that day, none else (Schutte et al. 2014)', () => {
    const stirred = { ...annual, stirFactor: 1.8 };
    const pass = passOf(at, evenKill(0), 1);
    const i = at - START;
    const rate = (one: SpeciesDays) => one.germinatedFrac[i + 1] - one.germinatedFrac[i];
    expect(rate(run(stirred, [pass])) / rate(run(stirred))).toBeCloseTo(1.8, 9);
    expect(run(annual, [pass])).toEqual(run(annual));
    expect(last(run(stirred, [pass]).emergedFrac)).toBeGreaterThan(1.1);
  });
});

describe('weedDays, years', () => {
  it('what stood is dead when the next weed year of an annual begins, after a winter without frost too', () => {
    const one = run(annual, [], { meanC: 21 }, dayNumber('2021-02-01'), 500);
    const turn = dayNumber('2022-03-01') - dayNumber('2021-02-01');
    expect(standing(one, turn - 1)).toBeGreaterThan(0.9);
    expect(standing(one, turn)).toBeCloseTo(0, 2);
    expect(one.deadFrac[turn]).toBeGreaterThan(0.9);
  });

  it('the first -4 C of autumn kills a summer annual and a shoot, not a winter annual; -4 C in spring kills none', () => {
    const weather = syntheticWeather(START, 365);
    const autumn = weather.tempMinC.findIndex((t, i) => i > 200 && t <= -4);
    const spring = weather.tempMinC.findLastIndex((t, i) => i < 180 && t <= -4);
    expect(autumn).toBeGreaterThan(dayNumber('2021-10-01') - START);
    const before = standing(run(annual), autumn);
    expect(before).toBeGreaterThan(0.9);
    expect(standing(run(annual), autumn + 1)).toBeLessThan(0.01);
    expect(standing(run(perennial), autumn)).toBeGreaterThan(0.9);
    expect(standing(run(perennial), autumn + 1)).toBeLessThan(0.01);
    expect(standing(run(winterAnnual), autumn + 1)).toBeGreaterThanOrEqual(standing(run(winterAnnual), autumn) - 1e-9);
    const early = { ...annual, germination: { ...annual.germination, baseTempC: -10 } };
    expect(standing(run(early), spring + 1)).toBeGreaterThanOrEqual(standing(run(early), spring));
    expect(standing(run(early), spring + 1)).toBeGreaterThan(0);
  });

  it('a series from January does not send up the autumn before', () => {
    const one = run(winterAnnual);
    expect(one.potentialFrac[dayNumber('2021-07-31') - START]).toBeCloseTo(0.3, 2);
    expect(last(one.potentialFrac)).toBeGreaterThan(0.9);
  });

  it('a series from May counts its heat from there', () => {
    const late = run(annual, [], {}, dayNumber('2021-05-01'), 200);
    expect(last(late.potentialFrac)).toBeGreaterThan(0.5);
  });

  it('gives the same days whether the series ends soon or runs on', () => {
    const short = run(annual, [], {}, START, 150);
    expect(short.stockFrac[2]).toEqual(run(annual).stockFrac[2]?.slice(0, 150));
  });

  it('a leap day and a start on 29 February do no harm', () => {
    const species = {
      ...annual,
      germination: {
        ...annual.germination,
        components: [{ season: 'spring' as const, shareFrac: 1, start: '02-29', lagCd: 80, scaleCd: 250, shape: 1.5 }],
      },
    };
    const one = run(species, [], { meanC: 14 }, dayNumber('2019-02-01'), 3 * 365);
    expect(last(one.potentialFrac)).toBeCloseTo(3, 6);
  });
});
