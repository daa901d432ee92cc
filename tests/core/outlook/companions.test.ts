import { describe, expect, test } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { sharedCover } from '../../../src/core/crop/crop.ts';
import { mornings, outlook } from '../../../src/core/outlook/outlook.ts';
import type { FieldInput } from '../../../src/core/outlook/schema.ts';
import { bean, column, firstDay, hoe, standing } from '../../support/windows.ts';
import { catalogue, fieldInput, outlookOf, without } from './fields.ts';

const oats = { crop: 'oats', date: '2024-04-20' };
const alfalfa = { crop: 'alfalfa-seeding', date: '2024-04-20' };
const tine = { implements: [{ id: 'tine-weeder' }], seedbedDates: ['2024-04-19'], today: '2024-05-12' };
const together = outlookOf({ ...tine, planting: oats, companions: [alfalfa] });

describe('windows of crops that stand together', () => {
  const alone = outlookOf({ ...tine, planting: oats });
  const other = outlookOf({ ...tine, planting: alfalfa });

  test('are open only on days that are open for each, and each that closes one is named', () => {
    expect(alone.windowDays.some(({ open }) => open)).toBe(true);
    for (const [i, day] of together.windowDays.entries()) {
      const reasons = (crop: string, of: typeof alone) =>
        of.windowDays[i]?.closed.filter((one) => one.crop === crop).map(({ reason, detail }) => [reason, detail]);
      const here = (crop: string) => reasons(crop, together);
      expect(here('oats')).toEqual(reasons('oats', alone));
      expect(here('alfalfa-seeding')).toEqual(reasons('alfalfa-seeding', other));
      expect(here('alfalfa-seeding')?.length).toBeGreaterThan(0);
      expect(day.open).toBe(false);
    }
  });

  test('tell of both, in the order given', () => {
    expect(together.crop?.crop).toBe('oats');
    expect(together.companions.map(({ crop }) => crop)).toEqual(['alfalfa-seeding']);
    expect(alone.companions).toEqual([]);
    // The shade of both is deeper, so the soil under them is not quite that of one.
    const june = dayNumber('2024-06-10') - dayNumber(alone.soil.startDate);
    expect(together.soil.temp5MaxC[june]).toBeLessThan(alone.soil.temp5MaxC[june] as number);
    const field = fieldInput({ ...tine, planting: oats, companions: [alfalfa] });
    const [morning] = mornings(field, ['2024-05-12'], catalogue);
    expect(morning?.crops).toEqual(
      [together.crop, ...together.companions].map((one) => ({ crop: one?.crop, stageToday: one?.stageToday })),
    );
  });

  test('a companion without another crop is a crop like any', () => {
    const only = outlook(without('planting', { ...tine, companions: [oats] }), catalogue);
    expect(only.crop).toBeNull();
    expect(only.companions).toEqual([alone.crop]);
    expect(only.windowDays).toEqual(alone.windowDays);
  });

  test('unknown ones are refused at their place, and those sown before the weather too', () => {
    const refused = (companion: typeof oats) => () =>
      outlookOf({ ...tine, planting: oats, companions: [oats, companion] });
    const at = (where: string) => expect.objectContaining({ problems: [expect.objectContaining({ where })] });
    expect(refused({ ...oats, crop: 'maise' })).toThrow(at('companions[1].crop'));
    expect(refused({ ...oats, date: '2023-12-31' })).toThrow(at('companions[1].date'));
  });
});

describe('a crop that has ended', () => {
  const today = '2024-07-12';
  const wheat = { crop: 'oats', date: '2024-04-10' };
  const soil = (changes: Partial<FieldInput>) => outlook(without('planting', { today, ...changes }), catalogue).soil;
  const standing = soil({ companions: [wheat] });
  const ended = soil({ endedPlantings: [{ ...wheat, endedOn: '2024-07-10' }] });
  const at = (date: string) => dayNumber(date) - dayNumber(standing.startDate);

  test('shaded the soil of the days before, which stay what they were', () => {
    const [last, next] = [at('2024-07-09'), at('2024-07-11')];
    expect(ended.temp5MaxC.slice(0, last + 1)).toEqual(standing.temp5MaxC.slice(0, last + 1));
    expect(ended.seedbedWaterM3PerM3.slice(0, last + 1)).toEqual(standing.seedbedWaterM3PerM3.slice(0, last + 1));
    expect(ended.temp5MaxC[next]).toBeGreaterThan((standing.temp5MaxC[next] as number) + 1);
  });

  test('closes no window and is no crop of today', () => {
    const answer = outlook(
      without('planting', { today, endedPlantings: [{ ...wheat, endedOn: '2024-07-10' }] }),
      catalogue,
    );
    expect([answer.crop, answer.companions]).toEqual([null, []]);
    expect(answer.windowDays.flatMap(({ closed }) => closed.flatMap(({ crop }) => crop ?? []))).toEqual([]);
  });

  test('that ended before it was sown, is unknown, or was sown before the weather is refused at its place', () => {
    const refused = (change: object) => () =>
      soil({ endedPlantings: [{ ...wheat, endedOn: '2024-07-10', ...change }] });
    const where = (place: string) => expect.objectContaining({ problems: [expect.objectContaining({ where: place })] });
    expect(refused({ endedOn: '2024-04-09' })).toThrow(where('endedPlantings[0].endedOn'));
    expect(refused({ crop: 'maise' })).toThrow(where('endedPlantings[0].crop'));
    expect(refused({ date: '2023-10-01' })).toThrow(where('endedPlantings[0].date'));
  });
});

describe('one day, by hand', () => {
  const tolerances = (change: object) => [
    { implement: 'hoe', fromLeaf: 1, toLeaf: 4, afternoonOnly: false, standLossFrac: 0.03, ...change },
  ];
  const strong = { crop: bean(), days: standing(2) };
  const weak = {
    crop: bean({ id: 'weak', tolerances: tolerances({ standLossFrac: 0.08 }), forgivenStandLossFrac: 0.01 }),
    days: standing(3),
  };

  test('the stand lost is that of the crop that loses most, and the score its own', () => {
    const only = firstDay({ crops: [weak] });
    expect(only.standLossFrac).toBe(0.08);
    expect(only.score).toBeLessThan(firstDay({ crops: [strong] }).score);
    for (const crops of [
      [weak, strong],
      [strong, weak],
    ])
      expect(firstDay({ crops })).toEqual(only);
  });

  test('one whose stems snap in the morning keeps the hoe until midday; passes are counted in each', () => {
    const brittle = { crop: bean({ tolerances: tolerances({ afternoonOnly: true }) }), days: standing(2) };
    expect(firstDay({ crops: [strong, brittle] }).hours?.after).toBe('midday');
    const once = { crop: bean({ id: 'once', tolerances: tolerances({ mostPasses: 1 }) }), days: standing(2) };
    const passes = [{ implement: hoe(), day: standing(2).plantedDay + 1 }];
    expect(firstDay({ crops: [strong, once], passes }).closed).toEqual([
      { reason: 'passes-used-up', given: 1, limit: 1, unit: 'passes', detail: 'since it came up', crop: 'once' },
    ]);
  });

  test('one that is not sown yet closes nothing', () => {
    const later = { crop: bean({ id: 'later' }), days: standing(Number.NaN, { leaf: column(Number.NaN) }) };
    expect(firstDay({ crops: [strong, later] }).closed).toEqual([]);
    expect(firstDay({ crops: [later], implements: [hoe({ withoutCrop: false })] }).closed).toMatchObject([
      { reason: 'no-crop' },
    ]);
  });

  test('shade what the others leave in the light: 0.5 and half of the rest, and 0.2 of what is left', () => {
    const days = [0.5, 0.5, 0.2].map((frac) => Float64Array.of(0, frac));
    expect([...sharedCover(days, 2)]).toEqual([0, expect.closeTo(0.8, 12)]);
    expect([...sharedCover([], 2)]).toEqual([0, 0]);
    expect(sharedCover(days.slice(0, 1), 2)).toEqual(days[0]);
  });
});
