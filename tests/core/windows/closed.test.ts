import { describe, expect, it } from 'vitest';
import type { WindowInput } from '../../../src/core/windows/input.ts';
import type { Closed, ClosedReason } from '../../../src/core/windows/schema.ts';
import { closedReasons } from '../../../src/core/windows/schema.ts';
import {
  bean,
  clayey,
  column,
  cutter,
  drySoil,
  fineWeather,
  firstDay,
  hoe,
  kind,
  START,
  standing,
  still,
  stillWeeds,
  TODAY,
  wetLayer,
} from '../../support/windows.ts';

type Case = readonly [title: string, change: Partial<WindowInput>, expected: Closed];

const fieldCapacity = clayey.fieldCapacity;
/** As it is told: value and limit to six decimals. */
const closed = (
  reason: ClosedReason,
  given: number | null,
  limit: number | null,
  unit: string,
  detail?: string,
): Closed => ({
  reason,
  given: given && Number(given.toFixed(6)),
  limit: limit && Number(limit.toFixed(6)),
  unit,
  ...(detail === undefined ? {} : { detail }),
});
/** A reason that lies in the crop names it. */
const ofBean = (...reason: Parameters<typeof closed>): Closed => ({ ...closed(...reason), crop: 'bean' });
const crop = (leaf: number, change: Parameters<typeof bean>[0] = {}, days: Parameters<typeof standing>[1] = {}) => ({
  crops: [{ crop: bean(change), days: standing(leaf, days) }],
});
const hoeIn = (entry: object) => ({
  tolerances: [{ implement: 'hoe', fromLeaf: 1, toLeaf: 4, standLossFrac: 0.03, afternoonOnly: false, ...entry }],
});
const rainOn = (index: number, mm: number) => fineWeather({ rainMm: column(0).fill(mm, index, index + 1) });
const blind = { closesAtHeatFrac: 0.8, leastSeedDepthCm: 3.5, implements: ['hoe'], standLossFrac: 0.02 };

/** Each field would be open but for what the title says. */
const cases: readonly Case[] = [
  [
    'soil at 2.5-7.5 cm above 0.97 of field capacity',
    { soil: wetLayer(1, 0.4) },
    closed('soil-too-wet', 0.4, 0.97 * fieldCapacity, 'm3/m3', '2.5-7.5 cm'),
  ],
  [
    'soil at 7.5-15 cm too wet for a tool that goes 10 cm deep',
    {
      soil: wetLayer(2, 0.4),
      implements: [hoe({}, { workingDepthCm: { least: 8, usual: 10, most: 12 } })],
      ...crop(2),
    },
    closed('soil-too-wet', 0.4, 0.97 * fieldCapacity, 'm3/m3', '7.5-15 cm'),
  ],
  [
    'surface above 0.9 of field capacity does not shatter',
    { soil: wetLayer(0, 0.36) },
    closed('surface-too-wet', 0.36, 0.9 * fieldCapacity, 'm3/m3', '0-2.5 cm'),
  ],
  [
    'top 5 cm at -1 C',
    { soil: drySoil({ frozen: new Uint8Array(5).fill(1), temp5MinC: column(-1) }) },
    closed('soil-frozen', -1, 0, 'C'),
  ],
  ['4 mm of snow', { soil: drySoil({ snowMm: column(4) }) }, closed('snow-lies', 4, 1, 'mm')],
  ['3 mm of rain that day', { weather: rainOn(1, 3) }, closed('rain-that-day', 3, 2.5, 'mm')],
  ['8 mm of rain on the next day', { weather: rainOn(2, 8) }, closed('rain-next-day', 8, 5, 'mm')],
  [
    'rain of the next day that nobody has forecast, however little is usual then',
    { weather: fineWeather({ rainFilled: Uint8Array.of(0, 0, 1, 1, 1) }) },
    closed('rain-unknown', null, null, '', 'the next day'),
  ],
  [
    'highest temperature 12 C',
    { weather: fineWeather({ tempMaxC: column(12), tempMinC: column(2) }) },
    closed('too-cold', 12, 15, 'C'),
  ],
  [
    'only the cool of the morning is below 17 C, and dew lies then',
    { implements: [hoe({ mostTempMaxC: 17 })] },
    closed('too-hot', 28, 17, 'C'),
  ],
  [
    'wind of 6 m/s',
    { weather: fineWeather({ windMPerS: column(6) }), implements: [hoe({ mostWindMPerS: 4.5 })] },
    closed('too-windy', 6, 4.5, 'm/s'),
  ],
  [
    'dew that never dries: the air stays at the dew point',
    { weather: fineWeather({ tempMaxC: column(15), tempMinC: column(14) }) },
    closed('no-hours', 0, 2, 'h'),
  ],
  [
    'grown weeds only, and a hoe for white threads',
    { weeds: stillWeeds(still('a', { whiteThread: 0.004, leaf3To4: 0.5 })) },
    closed('nothing-at-white-thread', 0.004, 0.01, '1'),
  ],
  [
    'white threads only, and a cutter for what stands',
    {
      weeds: stillWeeds(still('a', { whiteThread: 0.5, cotyledon: 0.05 })),
      implements: [cutter()],
      ...crop(2, {
        tolerances: [{ implement: 'cutter', fromLeaf: 1, toLeaf: 4, afternoonOnly: false, standLossFrac: 0 }],
      }),
    },
    closed('no-weeds-in-reach', 0.05 * 0.1, 0.01, '1'),
  ],
  [
    'weeds 15 cm tall in a crop of 10 cm, needs a gap of 15',
    {
      weeds: stillWeeds(still('a', { over15Cm: 0.2 })),
      species: [
        { species: kind({ id: 'a', height: { to5CmCd: 100, to10CmCd: 200, to15CmCd: 1e9 } }), relativeDensity: 1 },
      ],
      implements: [cutter({ leastHeightGapCm: 15 })],
      ...crop(2, {
        tolerances: [{ implement: 'cutter', fromLeaf: 1, toLeaf: 4, afternoonOnly: false, standLossFrac: 0 }],
      }),
    },
    closed('no-height-gap', 5, 15, 'cm'),
  ],
  ['crop in the hook', { ...crop(0.2, hoeIn({ fromLeaf: 0 })) }, ofBean('crop-tender', 0.2, 0.3, 'leaves', 'hook')],
  [
    'crop out of the hook by the evening, in it in the morning',
    { ...crop(0.5, hoeIn({ fromLeaf: 0 }), { leaf: Float64Array.of(0.2, 0.5, 0.5, 0.5, 0.5) }) },
    ofBean('crop-tender', 0.2, 0.3, 'leaves', 'hook'),
  ],
  [
    'leaf 1.2 by the evening, 0.8 in the morning, allowed from 1',
    { ...crop(1.2, {}, { leaf: Float64Array.of(0.8, 1.2, 1.2, 1.2, 1.2) }) },
    ofBean('crop-stage', 0.8, 1, 'leaves', 'too early'),
  ],
  ['leaf 0.5, allowed from 1', { ...crop(0.5) }, ofBean('crop-stage', 0.5, 1, 'leaves', 'too early')],
  ['leaf 5, allowed to 4', { ...crop(5) }, ofBean('crop-stage', 5, 4, 'leaves', 'too late')],
  ['crop 10 cm, at least 12', { ...crop(2, hoeIn({ leastHeightCm: 12 })) }, ofBean('crop-too-short', 10, 12, 'cm')],
  [
    'crop 10 cm by the evening, 8 in the morning, at least 9',
    { ...crop(2, hoeIn({ leastHeightCm: 9 }), { heightCm: Float64Array.of(8, 10, 10, 10, 10) }) },
    ofBean('crop-too-short', 8, 9, 'cm'),
  ],
  [
    'crop 8 cm in the morning, 10 by the evening, at most 9',
    { ...crop(2, hoeIn({ mostHeightCm: 9 }), { heightCm: Float64Array.of(8, 10, 10, 10, 10) }) },
    ofBean('crop-too-tall', 10, 9, 'cm'),
  ],
  ['crop 10 cm, at most 8', { ...crop(2, hoeIn({ mostHeightCm: 8 })) }, ofBean('crop-too-tall', 10, 8, 'cm')],
  [
    'hoe not listed once the crop is up',
    { ...crop(2, { tolerances: [] }) },
    ofBean('crop-not-listed', null, null, '', 'after emergence'),
  ],
  [
    'hoe not listed before the crop is up',
    { ...crop(-0.5, { blind: { ...blind, tipMarginCm: 1, implements: [] } }) },
    ofBean('crop-not-listed', null, null, '', 'before emergence'),
  ],
  [
    'no blind pass in this crop',
    { ...crop(-0.5, { blind: null }) },
    ofBean('crop-not-listed', null, null, '', 'before emergence'),
  ],
  [
    'nothing sown, and a tool for a crop',
    { crops: [], implements: [hoe({ withoutCrop: false })] },
    closed('no-crop', null, null, ''),
  ],
  [
    'sown later',
    { ...crop(Number.NaN, {}, { leaf: column(Number.NaN) }), implements: [hoe({ withoutCrop: false })] },
    closed('no-crop', null, null, ''),
  ],
  [
    'rows not up yet',
    { ...crop(-0.5), implements: [hoe({ rows: true })] },
    ofBean('no-rows', null, null, '', 'not up yet'),
  ],
  [
    'rows not up yet, and seed too shallow for what never comes in before them: that alone',
    { ...crop(-0.5, {}, { depthCm: 0.5 }), implements: [hoe({ rows: true })] },
    ofBean('no-rows', null, null, '', 'not up yet'),
  ],
  [
    'a tool that steers by rows, and no crop',
    { crops: [], implements: [hoe({ rows: true })] },
    closed('no-rows', null, null, ''),
  ],
  [
    'rows of 19 cm, at least 38',
    { ...crop(2, hoeIn({ leastRowCm: 38 }), { rowCm: 19 }) },
    ofBean('rows-too-narrow', 19, 38, 'cm'),
  ],
  [
    'shoot tip 2.5 cm deep, hoe at 2 cm and a margin of 1',
    { ...crop(-0.5, {}, { shootTipDepthCm: column(2.5) }) },
    ofBean('shoot-tip-near', 2.5, 3, 'cm'),
  ],
  [
    'a crop that hooks, at 85 % of the heat to emergence',
    { ...crop(-0.15, { blind: { ...blind, tipMarginCm: null }, tender: [] }, { shootTipDepthCm: column(Number.NaN) }) },
    ofBean('shoot-tip-near', 0.85, 0.8, '1', 'share of the heat to emergence'),
  ],
  [
    'a crop that comes up in the course of the day, beside a hoe that may go in both before and after',
    {
      ...crop(
        2,
        { tender: [], ...hoeIn({ fromLeaf: 0 }) },
        { leaf: Float64Array.of(-0.05, 0.5, 1, 1, 1), shootTipDepthCm: column(0.1) },
      ),
    },
    ofBean('shoot-tip-near', 0.1, 3, 'cm'),
  ],
  ['seed at 3 cm, at least 3.5', { ...crop(-0.5, {}, { depthCm: 3 }) }, ofBean('seed-too-shallow', 3, 3.5, 'cm')],
  [
    'two passes made, two allowed',
    { ...crop(2, hoeIn({ mostPasses: 2 })), passes: [TODAY - 4, TODAY - 1].map((day) => ({ implement: hoe(), day })) },
    ofBean('passes-used-up', 2, 2, 'passes', 'since it came up'),
  ],
  [
    'two passes made, one of them blind, two allowed since sowing',
    {
      ...crop(2, hoeIn({ mostPassesSinceSowing: 2, mostPasses: 2 }), { leaf: Float64Array.of(-0.5, 2, 2, 2, 2) }),
      passes: [START, START + 1].map((day) => ({ implement: hoe(), day })),
      today: START + 2,
      lastDay: START + 2,
    },
    ofBean('passes-used-up', 2, 2, 'passes', 'since sowing'),
  ],
  ['40 % of the ground under residue', { residueCoverFrac: 0.4 }, closed('too-much-residue', 0.4, 0.3, '1')],
  [
    'dry residue on 15 % of the ground under a flame',
    { residueCoverFrac: 0.15, implements: [hoe({ dryResidueIsFireRisk: true })] },
    closed('fire-risk', 0.15, 0.1, '1'),
  ],
];

describe('closed, with the value met and the limit it broke', () => {
  it.each(cases)('%s', (_, change, expected) => {
    const day = firstDay(change);
    expect(day.open).toBe(false);
    expect(day.closed).toEqual([expected]);
    expect(day).toMatchObject({ score: 0, standLossFrac: 0, byStage: [], bySpecies: [] });
  });

  it('every reason of the list is met above', () => {
    const met = new Set(cases.map(([, , { reason }]) => reason));
    expect(closedReasons.filter((reason) => !met.has(reason))).toEqual([]);
  });

  it('every reason is given, not the first', () => {
    const soil = wetLayer(1, 0.4);
    const day = firstDay({ soil, weather: rainOn(2, 8), ...crop(5), residueCoverFrac: 0.4 });
    expect(day.closed.map(({ reason }) => reason)).toEqual([
      'soil-too-wet',
      'rain-next-day',
      'too-much-residue',
      'crop-stage',
    ]);
  });
});

describe('not closed', () => {
  it.each([
    [
      'a wind that was not measured',
      { weather: fineWeather({ windMPerS: column(Number.NaN) }), implements: [hoe({ mostWindMPerS: 4 })] },
    ],
    [
      'wet soil under a tool that leaves it alone',
      { soil: wetLayer(1, 0.4), implements: [hoe({ mostWetOfFieldCapacity: null })] },
    ],
    [
      'residue that 2 mm of rain damped',
      { residueCoverFrac: 0.15, weather: rainOn(0, 2), implements: [hoe({ dryResidueIsFireRisk: true })] },
    ],
    [
      'passes made before this crop was sown',
      { ...crop(2, hoeIn({ mostPasses: 1 })), passes: [{ implement: hoe(), day: TODAY - 30 }] },
    ],
    [
      'blind passes, where those are counted that were made since the crop came up',
      {
        ...crop(2, hoeIn({ mostPasses: 2 }), { leaf: Float64Array.of(-0.5, 2, 2, 2, 2) }),
        passes: [START, START + 1].map((day) => ({ implement: hoe(), day })),
        today: START + 2,
        lastDay: START + 2,
      },
    ],
    [
      'a pass on the day of sowing, made before it',
      { ...crop(2, hoeIn({ mostPasses: 1 })), passes: [{ implement: hoe(), day: START - 10 }] },
    ],
    [
      'a pass of the same day, which is not made yet in the morning',
      { ...crop(2, hoeIn({ mostPasses: 1 })), passes: [{ implement: hoe(), day: TODAY }] },
    ],
    [
      'a crop of the first day of the weather, 10 cm that evening, at least 9: there is no evening before',
      {
        ...crop(2, hoeIn({ leastHeightCm: 9 }), { heightCm: Float64Array.of(10, 11, 12, 13, 14) }),
        today: START,
        lastDay: START,
      },
    ],
    ['no crop, and a tool that needs none', { crops: [] }],
    ['a dusting of snow', { soil: drySoil({ snowMm: column(0.9) }) }],
    ['a surface at its limit but for the noise of reckoning', { soil: wetLayer(0, 0.9 * fieldCapacity + 1e-9) }],
    ['soil at its limit but for the noise of reckoning', { soil: wetLayer(1, 0.97 * fieldCapacity + 1e-9) }],
    ['a shoot tip 3 cm deep under a hoe at 2 cm and a margin of 1', crop(-0.5)],
    [
      '0.31 in sandy loam where clay of this field capacity would close at 0.3',
      { soil: wetLayer(1, 0.31), constants: { ...clayey, sandFrac: 0.65, fieldCapacity: 0.31 } },
    ],
  ] satisfies [string, Partial<WindowInput>][])('%s', (_, change) => {
    expect(firstDay(change).closed).toEqual([]);
  });
});
