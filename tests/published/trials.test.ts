import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { dayNumber } from '../../src/core/base/day.ts';
import type { PassConditions, SpeciesDays } from '../../src/core/weeds/days.ts';
import { killFrac } from '../../src/core/weeds/kill.ts';
import type { Species, WeedStage } from '../../src/core/weeds/schema.ts';
import { weedDays } from '../../src/core/weeds/weeds.ts';
import type { Implement } from '../../src/core/windows/schema.ts';
import { annual, goodConditions, perennial, syntheticSoil, syntheticWeather } from '../core/weeds/synthetic.ts';

/**
 * Field trials, re-run with the implements as they are shipped. The trials print no weather, so the field is a steady
 * one: soil 17 C, air 11 to 23 C, weeds up 12 days after planting on average, Weibull of shape 2, a few days as white
 * threads. The bar is 8 points. Two trials miss it: what the model tells of them stands at the end, so that it is known.
 */
const BAR = 0.08;
const START = dayNumber('2021-05-15');
const DAYS = 60;
const soil = syntheticSoil(START, DAYS);
soil.seedZoneTempC.fill(17);
const weather = syntheticWeather(START, DAYS);
weather.tempMaxC.fill(23);
weather.tempMinC.fill(11);
const weed: Species = {
  ...annual,
  germination: {
    ...annual.germination,
    baseTempC: 8,
    // 35 C d as threads at 9 a day are 3.9 days; the other 8.1 days, 73 C d, to germinate: 73 / gamma(1.5) = 82.4.
    components: [{ season: 'spring', shareFrac: 1, start: '05-15', lagCd: 0, scaleCd: 82.4, shape: 2 }],
  },
  elongation: { baseTempC: 8, lagCd: 20, perCmCd: 10, depthCm: 1.5 },
  leaf: { baseTempC: 4.5, perLeafCd: 42.2 },
  height: { to5CmCd: 136, to10CmCd: 199, to15CmCd: 241 },
};

const { implements: tools } = loadCatalogue();
const tool = (id: string): Implement => {
  const found = tools.find((one) => one.id === id);
  if (found === undefined) throw new Error(`no implement ${id}`);
  return found;
};

/** Share of the season's seedlings that passes so many days after planting kill. */
const control = (id: string, days: readonly number[], conditions: PassConditions = goodConditions): number => {
  const passes = days.map((d) => ({ day: START + d, kill: tool(id).kill, conditions, stirsGroundFrac: 0 }));
  const one = weedDays(soil, weather, [weed], passes, false).species[0] as SpeciesDays;
  return 1 - one.stockFrac.reduce((sum, column) => sum + (column[DAYS - 1] as number), 0);
};
const within = (value: number, observed: number): void => expect(Math.abs(value - observed)).toBeLessThan(BAR);

const kill = (id: string, stage: WeedStage, conditions = goodConditions, species: Species = annual) =>
  killFrac(tool(id).kill, species, stage, conditions);
const wet = { ...goodConditions, wetBefore: true, rainWithinDayMm: 9 };

it('in the field of the trials weeds come up 12 days after planting on average', () => {
  const one = weedDays(soil, weather, [weed], [], false).species[0] as SpeciesDays;
  expect(one.potentialFrac.reduce((sum, value) => sum + (1 - value), -0.5)).toBeCloseTo(12, 1);
});

describe('rotary hoe in soybean (Lovely, Weber & Staniforth 1958, weed dry weight)', () => {
  // The source prints no days. Timely: threads and cotyledons, three times. Untimely: once most weeds have two leaves, and
  // a week later. Much turns on that choice: on days 12 and 20 it would be 57 %.
  it('three timely passes 72 %', () => within(control('rotary-hoe', [6, 12, 18]), 0.72));
  it('three timely passes, rain after each, 33 %', () =>
    within(control('rotary-hoe', [6, 12, 18], { ...goodConditions, rainWithinDayMm: 8 }), 0.33));
  it('three timely passes on wet soil 33 %', () =>
    within(control('rotary-hoe', [6, 12, 18], { ...goodConditions, wetBefore: true }), 0.33));
  it('two untimely passes 38 %', () => within(control('rotary-hoe', [17, 24]), 0.38));
});

describe('tine weeder in spring cereals (Brandsaeter, Mangerud & Rasmussen 2012, density)', () => {
  const [pre, post] = [7, 15];
  it('before emergence 26 %', () => within(control('tine-weeder', [pre]), 0.26));
  it('after emergence 47 %', () => within(control('tine-weeder', [post]), 0.47));
  it('both 61 %: survivals multiply', () => within(control('tine-weeder', [pre, post]), 0.61));
});

describe('row cultivators (Mohler et al. 2016, share of the weeds killed by one pass)', () => {
  it.each(['cotyledon', 'leaf1To2'] as const)('73 %% in soybean, weeds at %s', (stage) =>
    within(kill('row-cultivator-early', stage).mean, 0.73),
  );
  it.each(['cotyledon', 'leaf1To2', 'leaf3To4'] as const)('more than 91 %% late in corn, weeds at %s', (stage) =>
    expect(kill('row-cultivator-layby', stage).mean).toBeGreaterThan(0.91 - BAR),
  );
  it('hoe 72 % on average, 40 to 99 (Naruhn et al. 2021), at two leaves', () => {
    within(kill('row-cultivator-early', 'leaf1To2').mean, 0.72);
    expect(kill('row-cultivator-early', 'leaf1To2').low).toBeGreaterThan(0.4);
  });
  it('sweeps with fingers in the row 73 to 97 % (Pannacci, Tei & Guiducci 2018)', () => {
    const { mean } = kill('finger-weeder', 'cotyledon');
    expect(mean).toBeGreaterThan(0.73);
    expect(mean).toBeLessThan(0.97);
  });
  it('shoots from a root suffer less than seedlings', () => {
    expect(kill('row-cultivator-early', 'leaf3To4', goodConditions, perennial).mean).toBeLessThan(
      kill('row-cultivator-early', 'leaf3To4').mean,
    );
  });
});

describe('burial (Merfield 2018; Mohler et al. 2016)', () => {
  const hill = tool('row-cultivator-layby').kill;
  const row = hill.zones.find(({ place }) => place === 'inRow');
  it('the row of the hilling pass buries', () => expect(row?.buries).toBe(true));
  it.each(['cotyledon', 'leaf1To2'] as const)('under 1 cm of soil 95 %% or more die: best case, weeds at %s', (stage) =>
    expect(row?.broadleaf[stage].high).toBeGreaterThanOrEqual(0.95),
  );
  it('a weed that still shows 2 cm or more lives: over 15 cm, 10 % die', () =>
    expect(row?.broadleaf.over15Cm.mean).toBeLessThanOrEqual(0.1));
  it('grass or broadleaf makes no difference', () => expect(row?.grass).toEqual(row?.broadleaf));
  it('needs no dry weather: in wet soil the row keeps its kill, the sweeps do not', () => {
    const only = (place: string) => ({ ...hill, zones: hill.zones.filter((zone) => zone.place === place) });
    const dry = killFrac(only('inRow'), annual, 'leaf1To2', goodConditions).mean;
    expect(killFrac(only('inRow'), annual, 'leaf1To2', wet).mean).toBe(dry);
    expect(killFrac(only('betweenRows'), annual, 'leaf1To2', wet).mean).toBeCloseTo(0.72 * 0.95 * 0.13, 2);
  });
});

describe('flame and current', () => {
  it('broadleaf seedlings more than 90 %, grasses less (Knezevic et al.: 26 against 55 kg of gas for 90 %)', () => {
    const grass: Species = { ...annual, group: 'grass' };
    expect(kill('flame-broadcast', 'cotyledon').mean).toBeGreaterThan(0.9);
    expect(kill('flame-broadcast', 'leaf1To2', goodConditions, grass).mean).toBeLessThan(0.9);
  });
  it('nothing below ground', () => {
    for (const id of ['flame-broadcast', 'flame-directed', 'electric-over-canopy', 'mower', 'hand-crew'])
      expect(kill(id, 'whiteThread').high).toBe(0);
  });
  it('current kills 51 to 97 % of tall escapes (Schreier, Bish & Bradley 2022), rain or not', () => {
    expect(kill('electric-over-canopy', 'over15Cm', wet)).toEqual({ low: 0.51, mean: 0.75, high: 0.97 });
  });
});

describe('two trials that the shipped values miss', () => {
  it.each([
    // Days after planting are printed here: a week and two in corn; 14 in a cover crop.
    ['two hoeings of corn about 50 % (Forcella 2000)', [7, 14], 0.63],
    ['one hoeing on day 14, 49 and 69 % (Boyd & Brennan 2006)', [14], 0.4],
  ] as const)('%s', (_trial, days, told) => expect(control('rotary-hoe', days)).toBeCloseTo(told, 2));
});
