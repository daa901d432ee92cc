import { describe, expect, it } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import type { PassConditions, SpeciesDays } from '../../../src/core/weeds/days.ts';
import { type KillProfile, type Species, weedStages } from '../../../src/core/weeds/schema.ts';
import { weedDays } from '../../../src/core/weeds/weeds.ts';
import { annual, evenKill, goodConditions, syntheticSoil, syntheticWeather } from './synthetic.ts';

/** Stage by stage mean kill of the recommended table, inline: the catalogue's own values are tested elsewhere. */
const tool = (means: readonly number[]): KillProfile => {
  const kills = Object.fromEntries(
    weedStages.map((stage, s) => [
      stage,
      { low: means[s] as number, mean: means[s] as number, high: means[s] as number },
    ]),
  ) as KillProfile['zones'][number]['broadleaf'];
  return {
    ...evenKill(0),
    zones: [{ place: 'whole', groundFrac: 1, broadleaf: kills, grass: kills, buries: false }],
    wetBeforeFactor: 0.36,
    rainNextDayFactor: 0.36,
    rainSecondDayFactor: 0.7,
    wetFloorFactor: 0.13,
  };
};
const rotaryHoe = tool([0.75, 0.55, 0.25, 0.08, 0.02, 0, 0]);
const tineWeeder = tool([0.7, 0.6, 0.35, 0.12, 0.04, 0, 0]);
const wetAfter: PassConditions = { ...goodConditions, rainNextDayMm: 8 };

/**
 * Planted on day 0 into clean ground at a steady 17 C, as in Iowa in the second half of May; weeds come up 12 days later
 * on average, Weibull of shape 2, and have the clocks of foxtails.
 */
const START = dayNumber('2021-05-15');
const field = (() => {
  const soil = syntheticSoil(START, 60);
  soil.seedZoneTempC.fill(17);
  const weather = syntheticWeather(START, 60);
  weather.tempMaxC.fill(23);
  weather.tempMinC.fill(11);
  const species: Species = {
    ...annual,
    germination: {
      ...annual.germination,
      baseTempC: 8,
      // 35 C d at 9 a day as white threads, 3.9 days; the other 8.1 days, 73 C d, to germinate: 73 / gamma(1.5) = 82.4.
      components: [{ season: 'spring', shareFrac: 1, start: '05-15', lagCd: 0, scaleCd: 82.4, shape: 2 }],
    },
    elongation: { baseTempC: 8, lagCd: 20, perCmCd: 10, depthCm: 1.5 },
    leaf: { baseTempC: 4.5, perLeafCd: 42.2 },
    height: { to5CmCd: 136, to10CmCd: 199, to15CmCd: 241 },
  };
  return { soil, weather, species };
})();

const control = (kill: KillProfile, days: readonly number[], conditions: PassConditions = goodConditions): number => {
  const passes = days.map((d) => ({ day: START + d, kill, conditions, stirsGroundFrac: 0 }));
  const one = weedDays(field.soil, field.weather, [field.species], passes, false).species[0] as SpeciesDays;
  return 1 - one.stockFrac.reduce((sum, column) => sum + column[59], 0);
};

// The sources print no weather and few dates. Temperature, clocks and days were chosen here: at 20 C with the clocks of a
// small broadleaf the three hoeings give 62 %. A rough check that table and model can agree, not skill.
describe('programmes of the trials on a steady field', () => {
  it('weeds come up 12 days after planting on average', () => {
    const one = weedDays(field.soil, field.weather, [field.species], [], false).species[0] as SpeciesDays;
    const mean = one.potentialFrac.reduce((sum, value) => sum + (1 - value), -0.5);
    expect(mean).toBeCloseTo(12, 1);
  });

  it('three timely rotary hoeings 72 % (Lovely, Weber & Staniforth 1958), within 8 points', () => {
    expect(Math.abs(control(rotaryHoe, [6, 12, 18]) - 0.72)).toBeLessThan(0.08);
  });

  it('the same with rain after each 33 % (same), within 8 points', () => {
    expect(Math.abs(control(rotaryHoe, [6, 12, 18], wetAfter) - 0.33)).toBeLessThan(0.08);
  });

  it('two untimely hoeings 38 % (same), within 8 points', () => {
    // The source gives no days; late here is once the average weed has its second leaf, and a week later.
    expect(Math.abs(control(rotaryHoe, [17, 24]) - 0.38)).toBeLessThan(0.08);
  });

  it('tine weeder before the crop 26, after 47, both 61 % (Brandsaeter et al. 2012), within 8 points', () => {
    const [pre, post] = [7, 15];
    expect(Math.abs(control(tineWeeder, [pre]) - 0.26)).toBeLessThan(0.08);
    expect(Math.abs(control(tineWeeder, [post]) - 0.47)).toBeLessThan(0.08);
    expect(Math.abs(control(tineWeeder, [pre, post]) - 0.61)).toBeLessThan(0.08);
  });
});
