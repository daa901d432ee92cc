import { describe, expect, it } from 'vitest';
import { noCost, standCost } from '../../../src/core/crop/standCost.ts';
import { rateHaPerH } from '../../../src/core/windows/capacity.ts';
import { cautions } from '../../../src/core/windows/cautions.ts';
import { passConditions } from '../../../src/core/windows/conditions.ts';
import { dryingFactor, dryingKPaH, dryingOn } from '../../../src/core/windows/drying.ts';
import type { FieldCrop } from '../../../src/core/windows/input.ts';
import { noLiving, readLiving } from '../../../src/core/windows/living.ts';
import { standLostBefore } from '../../../src/core/windows/passHistory.ts';
import { hazards } from '../../../src/core/windows/schema.ts';
import { score } from '../../../src/core/windows/score.ts';
import { passCost, toleranceAt } from '../../../src/core/windows/tolerance.ts';
import { tallestWeedCm } from '../../../src/core/windows/weedHeight.ts';
import { harmWeights, killsOnlyYoung } from '../../../src/core/windows/weedReach.ts';
import { wettestM3PerM3 } from '../../../src/core/windows/wettest.ts';
import { shallowToolClosedBy, shallowToolWorkable } from '../../../src/core/windows/workability.ts';
import {
  bean,
  clayey,
  column,
  cutter,
  drySoil,
  field,
  fineWeather,
  hoe,
  kind,
  START,
  standing,
  still,
  stillWeeds,
  wetLayer,
} from '../../support/windows.ts';

describe('work rate, width (ft) x mph x 0.8 / 8.25 in ac/h (Kentucky AEN-73)', () => {
  const M_PER_FT = 0.3048;
  const KM_PER_MILE = 1.609344;
  const HA_PER_ACRE = 0.40468564224;
  it.each([
    ['rotary hoe 15 ft', 15, 10, 14.5, 5.89],
    ['rotary hoe 21 ft', 21, 10, 20.4, 8.24],
    ['rotary hoe 30 ft', 30, 10, 29.1, 11.77],
    ['tine weeder 15 ft', 15, 5, 7.3, 2.94],
    ['tine weeder 20 ft', 20, 5, 9.7, 3.92],
    ['row cultivator 12 x 30 in', 30, 5, 14.5, 5.89],
    ['8 x 30 in guided', 20, 8, 15.5, 6.28],
  ])('%s: %d ft at %d mph is %d ac/h, %d ha/h', (_, feet, mph, acres, hectares) => {
    const rate = rateHaPerH(feet * M_PER_FT, mph * KM_PER_MILE, 0.8);
    expect(Math.abs(rate / HA_PER_ACRE - acres)).toBeLessThan(0.06);
    expect(Math.abs(rate - hectares)).toBeLessThan(0.006);
  });
});

describe('drying', () => {
  it('ten hours at 1.3 kPa are 10 kPa h; the nights do not count', () => {
    const day = column(0, 24).fill(1.3, 10, 20);
    expect(dryingKPaH(day)).toBeCloseTo(10, 9);
    expect(dryingKPaH(column(0.3, 24))).toBe(0);
    expect(dryingKPaH(column(9, 24).fill(0, 10, 20))).toBe(0);
  });

  it('0.5 when poor, 0.8 in the middle of fair, 1 when good', () => {
    expect([0, 2, 7, 12, 30].map(dryingFactor)).toEqual([0.5, 0.5, 0.8, 1, 1]);
  });
});

describe('score', () => {
  const pass = { killedFrac: 0.3, harmLeftFrac: 1, lostBeforeFrac: 0, cost: noCost, forgivenStandLossFrac: 0.05 };

  it('is the share of the weeds killed while the stand is spared', () => expect(score(pass)).toBeCloseTo(30, 9));

  it('corn: 10 % of the stand is 2 % of yield, 2 of the 39 points that weeds take (Gunsolus 1990; Lovely et al. 1958)', () => {
    expect(score(pass) - score({ ...pass, cost: standCost(0.1) })).toBeCloseTo((100 * 2) / 39, 9);
  });

  it('soybean forgives 10 % (Gunsolus 1990)', () => {
    expect(score({ ...pass, cost: standCost(0.1), forgivenStandLossFrac: 0.1 })).toBe(score(pass));
  });

  it('counts the harm that weeds can still do, and the cost in full', () => {
    const late = { ...pass, harmLeftFrac: 0.25 };
    expect(score(late)).toBeCloseTo(7.5, 9);
    expect(score(late) - score({ ...late, cost: standCost(0.1) })).toBeCloseTo((100 * 2) / 39, 9);
  });

  it('what earlier passes cost is not charged again, and this one costs of what they left: 0.9 x 10 % more', () => {
    const thinned = { ...pass, lostBeforeFrac: 0.1 };
    expect(score(thinned)).toBe(score(pass));
    expect(score(thinned) - score({ ...thinned, cost: standCost(0.1) })).toBeCloseTo((100 * 0.4 * 9) / 39, 9);
  });

  it('yield lost by covering is not forgiven as plants are: 2 of the 39 points', () => {
    expect(score(pass) - score({ ...pass, cost: { standFrac: 0, yieldFrac: 0.02 } })).toBeCloseTo((100 * 2) / 39, 9);
  });

  it('never below 0', () => {
    expect(score({ ...pass, killedFrac: 0, cost: standCost(0.5) })).toBe(0);
  });
});

describe('wetness', () => {
  it('loam and clay at the share asked, sandy loam 1.28 of it, sand 1.6 (Terzaghi et al. 1988 over field capacity)', () => {
    const limits = [0.1, 0.4, 0.65, 0.9].map((sandFrac) =>
      wettestM3PerM3({ ...clayey, sandFrac, fieldCapacity: 0.2 }, 1),
    );
    for (const [i, limit] of [0.2, 0.2, 0.256, 0.32].entries()) expect(limits[i]).toBeCloseTo(limit, 9);
  });

  it('a day is workable from the evening before: wet on the first two evenings closes the second and third day', () => {
    const soil = drySoil();
    (soil.waterM3PerM3[1] as Float64Array).fill(0.4, 0, 2);
    expect([...shallowToolWorkable(soil, fineWeather(), clayey)]).toEqual([0, 0, 0, 1, 1]);
  });

  it('more than 2.5 mm of rain, a wet surface, frost or snow take a day', () => {
    const rain = fineWeather({ rainMm: Float64Array.of(0, 2.6, 2.5, 0, 0) });
    expect([...shallowToolWorkable(drySoil(), rain, clayey)]).toEqual([1, 0, 1, 1, 1]);
    expect([...shallowToolWorkable(wetLayer(0, 0.45), fineWeather(), clayey)]).toEqual([0, 0, 0, 0, 0]);
    expect([...shallowToolWorkable(drySoil({ frozen: Uint8Array.of(0, 0, 1, 0, 0) }), fineWeather(), clayey)]).toEqual([
      1, 1, 0, 1, 1,
    ]);
    expect([
      ...shallowToolWorkable(drySoil({ snowMm: Float64Array.of(0, 3, 0, 0, 0) }), fineWeather(), clayey),
    ]).toEqual([1, 1, 0, 1, 1]);
  });

  it('dry ground is kept shut by the rain of the day or by snow, and that is what is said', () => {
    const why = (soil: ReturnType<typeof drySoil>, weather = fineWeather()) =>
      shallowToolClosedBy(soil, weather, clayey);
    const rain = fineWeather({ rainMm: Float64Array.of(0, 2.6, 2.5, 0, 0) });
    expect(why(drySoil(), rain)).toEqual([null, 'rain-that-day', null, null, null]);
    const snow = drySoil({ snowMm: Float64Array.of(0, 3, 0, 0, 0), frozen: Uint8Array.of(0, 0, 0, 1, 0) });
    expect(why(snow)).toEqual([null, null, 'snow-lies', 'soil-frozen', null]);
    expect(why(wetLayer(0, 0.45))[1]).toBe('surface-too-wet');
    expect(why(wetLayer(1, 0.45))[1]).toBe('soil-too-wet');
  });

  it('the soil table leaves the noise of reckoning aside as the windows do, and two millionths are no noise', () => {
    const why = (more: number) => [
      shallowToolClosedBy(wetLayer(1, 0.97 * clayey.fieldCapacity + more), fineWeather(), clayey)[1],
      shallowToolClosedBy(wetLayer(0, clayey.fieldCapacity + more), fineWeather(), clayey)[1],
    ];
    expect(why(1e-9)).toEqual([null, null]);
    expect(why(2e-6)).toEqual(['soil-too-wet', 'surface-too-wet']);
  });

  it('a pass meets the surface of the evening before, and the rain of its day and the two after', () => {
    const soil = wetLayer(0, 0.2);
    (soil.waterM3PerM3[0] as Float64Array)[1] = 0.36;
    const weather = fineWeather({ rainMm: Float64Array.of(0, 0, 0, 4, 9) });
    const at = (index: number) => passConditions(weather, soil, clayey, 0.2, index, 0.8);
    expect(at(2)).toEqual({
      wetBefore: true,
      rainWithinDayMm: 4,
      rainSecondDayMm: 9,
      residueCoverFrac: 0.2,
      crusted: false,
      dryingFactor: 0.8,
    });
    // Sand falls off the roots where a clay as wet clings to them.
    expect(passConditions(weather, soil, { ...clayey, sandFrac: 0.9 }, 0.2, 2, 0.8).wetBefore).toBe(false);
    // Rain of the day itself undoes it as rain of the next does.
    expect(at(4)).toEqual({
      wetBefore: false,
      rainWithinDayMm: 9,
      rainSecondDayMm: 0,
      residueCoverFrac: 0.2,
      crusted: false,
      dryingFactor: 0.8,
    });
  });
});

it('a pass meets the crust of the evening before', () => {
  const soil = drySoil({ crusted: Uint8Array.of(0, 1, 0, 0, 0) });
  const crusted = [1, 2, 3].map((index) => passConditions(fineWeather(), soil, clayey, 0, index, 1).crusted);
  expect(crusted).toEqual([false, true, false]);
});

it('what a pass uproots dries on its day and the next; the last day of the weather dries like itself once more', () => {
  // Every day dries fairly but the last, which is as cool as its night.
  const weather = fineWeather({ tempMaxC: Float64Array.of(23, 23, 23, 23, 15) });
  const [dry, half, none] = [2, 3, 4].map((index) => dryingOn(field().site, weather, index)) as [
    number,
    number,
    number,
  ];
  expect([dry, none]).toEqual([1, 0.5]);
  expect(half).toBeGreaterThan(0.5);
  expect(half).toBeLessThan(1);
});

describe('weeds', () => {
  it('what lives counts from a ten-thousandth of the year on', () => {
    const living = noLiving(1);
    readLiving(living, stillWeeds(still('a', { whiteThread: 0.9e-4, cotyledon: 2e-4, leaf1To2: 0.1 })), [0.5], 0);
    expect([living.count, ...living.stage.subarray(0, 2)]).toEqual([2, 1, 2]);
    expect([...living.weightedFrac.subarray(0, 2)]).toEqual([1e-4, 0.05]);
  });

  it('weights follow density x competitive index, and density where no species competes', () => {
    const of = (...pairs: [number, number][]) =>
      harmWeights(
        pairs.map(([relativeDensity, competitiveIndex]) => ({ species: kind({ competitiveIndex }), relativeDensity })),
      );
    expect(of([1, 6], [2, 1])).toEqual([0.75, 0.25]);
    expect(of([1, 0], [3, 0])).toEqual([0.25, 0.75]);
  });

  it('a rotary hoe lives off white threads, a cutter does not', () => {
    expect([killsOnlyYoung(hoe().kill), killsOnlyYoung(cutter().kill)]).toEqual([true, false]);
  });

  it('above 15 cm weeds keep the pace of 10 to 15 cm: 5 cm in 50 C d is 1.6 cm in a day of 16 C d', () => {
    const tall = kind({
      id: 'a',
      height: { to5CmCd: 100, to10CmCd: 200, to15CmCd: 250 },
      leaf: { baseTempC: 5, perLeafCd: 40 },
    });
    const weeds = stillWeeds(still('a', { over15Cm: 0.2 }), still('low', { over15Cm: 0.2 }));
    const heights = tallestWeedCm(weeds, [tall, kind({ id: 'low' })], fineWeather());
    for (const [i, cm] of [15, 16.6, 18.2, 19.8, 21.4].entries()) expect(heights[i]).toBeCloseTo(cm, 9);
  });

  it('a new wave starts at 15 cm again', () => {
    const weeds = stillWeeds(still('a', { over15Cm: 0.2 }));
    (weeds.species[0]?.stockFrac[6] as Float64Array)[2] = 0;
    const tall = kind({
      id: 'a',
      height: { to5CmCd: 100, to10CmCd: 200, to15CmCd: 250 },
      leaf: { baseTempC: 5, perLeafCd: 40 },
    });
    const heights = [...tallestWeedCm(weeds, [tall], fineWeather())];
    expect(heights.map((cm) => Math.round(cm * 10) / 10)).toEqual([15, 16.6, 0, 15, 16.6]);
  });
});

describe('tolerance', () => {
  const entry = (fromLeaf: number, toLeaf: number, loss: number) => ({
    implement: 'hoe',
    fromLeaf,
    toLeaf,
    afternoonOnly: false,
    standLossFrac: loss,
  });
  const crop = bean({ tolerances: [entry(2, 3, 0.01), entry(5, 6, 0.02)] });

  it('of two entries the one that holds the leaf, else the next to come, else the last', () => {
    const from = (leaf: number) => toleranceAt(crop, 'hoe', leaf)?.fromLeaf;
    expect([1, 2.5, 3.5, 5.5, 9].map(from)).toEqual([2, 2, 5, 5, 5]);
    expect(toleranceAt(crop, 'plough', 2)).toBeUndefined();
  });

  it('a pass costs what the crop says; in the hook a quarter of the stand; before planting nothing', () => {
    const loss = (leaf: number, id = 'hoe') => passCost(crop, { id, loosensGroundFrac: 1 }, leaf, 0.8).standFrac;
    expect([Number.NaN, -0.5, 0, 2.5, 5.5].map((leaf) => loss(leaf))).toEqual([0, 0.02, 0.25, 0.01, 0.02]);
    expect(loss(2.5, 'plough')).toBe(0);
  });

  it('a tool that the crop lets in at a tender stage costs what the crop says', () => {
    const tender = [{ name: 'hook', fromLeaf: 2, toLeaf: 3 }];
    expect(passCost(bean({ tender, tolerances: [entry(2, 3, 0.01)] }), hoe(), 2.5, 0.8)).toEqual(standCost(0.01));
    expect(passCost(bean({ tender, tolerances: [entry(5, 6, 0.01)] }), hoe(), 2.5, 0.8)).toEqual(standCost(0.25));
  });

  it('before emergence a blind pass of a tool that leaves the ground alone costs no stand (common practice, no source)', () => {
    const seeded = bean();
    seeded.blind?.implements.push('flame');
    const loss = (id: string, loosensGroundFrac: number) =>
      passCost(seeded, { id, loosensGroundFrac }, -0.5, 0.8).standFrac;
    expect([loss('hoe', 1), loss('flame', 0)]).toEqual([0.02, 0]);
  });

  it('a harrow that covers the crop is charged for it: 80 % control at selectivity 5.35 covers 26 % and costs 0.57 % (Rasmussen et al. 2010, 0.55 % at a quarter covered)', () => {
    const covered = { ...entry(2, 3, 0.01), covering: { selectivity: 5.35, yieldLossAtQuarterCoverFrac: 0.0055 } };
    const cereal = bean({ tolerances: [covered] });
    const { standFrac, yieldFrac } = passCost(cereal, hoe(), 2.5, 0.8);
    expect(yieldFrac).toBeCloseTo((0.0055 * (1 - 0.2 ** (1 / 5.35))) / 0.25, 12);
    expect(yieldFrac).toBeCloseTo(0.0057, 4);
    expect(standFrac).toBe(0);
    expect(passCost(crop, hoe(), 2.5, 0.8)).toEqual({ standFrac: 0.01, yieldFrac: 0 });
  });
});

it('passes before a day cost the stand what each leaves of it; one of the day itself does not yet', () => {
  const crops = [{ crop: bean(), days: standing(2.5) }];
  const loss = passCost(bean(), hoe(), 2.5, 0).standFrac;
  const passes = [0, 1, 2].map((ahead) => ({ implement: hoe(), day: START + ahead }));
  const lost = [0, 1, 2].map((index) => standLostBefore(field({ crops, passes }), crops[0] as FieldCrop, index));
  expect(loss).toBeGreaterThan(0);
  for (const [made, frac] of lost.entries()) expect(frac).toBeCloseTo(1 - (1 - loss) ** made, 12);
});

describe('cautions', () => {
  it('each danger once, in the order of the list, and every danger has words', () => {
    expect(cautions([{ hazards: ['road', 'pto'] }, { hazards: ['road'] }]).map(({ hazard }) => hazard)).toEqual([
      'pto',
      'road',
    ]);
    const all = cautions([{ hazards: [...hazards] }]);
    expect(all.map(({ hazard }) => hazard)).toEqual([...hazards]);
    for (const { text } of all) expect(text.length).toBeGreaterThan(30);
  });

  it('flame defers to burn ban, fire department, gas code, manufacturer and certifier; electric to manual and certifier', () => {
    const text = (hazard: 'openFlame' | 'highVoltage') => cautions([{ hazards: [hazard] }])[0]?.text ?? '';
    for (const word of ['burn ban', 'fire department', 'wind', 'code', 'manufacturer', 'certifier', 'licence'])
      expect(text('openFlame')).toContain(word);
    for (const word of ['High voltage', 'manual', 'certifier', 'bystanders'])
      expect(text('highVoltage')).toContain(word);
  });
});
