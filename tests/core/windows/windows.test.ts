import { describe, expect, it } from 'vitest';
import { killFrac } from '../../../src/core/weeds/kill.ts';
import { passConditions } from '../../../src/core/windows/conditions.ts';
import { dryingOn } from '../../../src/core/windows/drying.ts';
import { windowDay as windowDaySchema } from '../../../src/core/windows/schema.ts';
import { passWindows, windowDays } from '../../../src/core/windows/windows.ts';
import {
  bean,
  column,
  cutter,
  DAYS,
  field,
  fineWeather,
  firstDay,
  hoe,
  kind,
  START,
  standing,
  still,
  stillWeeds,
  TODAY,
} from '../../support/windows.ts';

/** Weights 0.5 each: density 1 x index 2, density 2 x index 1. */
const two = {
  weeds: stillWeeds(
    still('a', { whiteThread: 0.2, cotyledon: 0.1, leaf3To4: 0.1 }, 0.02),
    still('b', { whiteThread: 0.4 }, 0.04),
  ),
  species: [
    { species: kind({ id: 'a', competitiveIndex: 2 }), relativeDensity: 1 },
    { species: kind({ id: 'b', competitiveIndex: 1, group: 'grass' as const }), relativeDensity: 2 },
  ],
};
const close = (value: number) => expect.closeTo(value, 9);
const mean = (value: number) => expect.objectContaining({ mean: close(value) });

describe('a cool, damp day', () => {
  const weather = fineWeather({ tempMaxC: column(16), tempMinC: column(13) });
  const input = field({ ...two, weather, lastDay: TODAY });
  const [day] = windowDays(input);
  const [dry] = windowDays(field({ ...two, lastDay: TODAY }));

  it('halves what a hoe is told to kill, in the score and by stage', () => {
    expect(day?.open).toBe(true);
    expect(day?.kill.mean).toBeCloseTo((dry?.kill.mean ?? 0) / 2, 6);
    expect(day?.score).toBeCloseTo((dry?.score ?? 0) / 2, 6);
    expect(day?.byStage[0]).toEqual({ stage: 'whiteThread', stockFrac: close(0.3), kill: mean(0.375) });
  });

  it('and what the pass kills once it is made', () => {
    const index = TODAY - START;
    const { soil, constants, site } = input;
    const met = passConditions(weather, soil, constants, 0, index, dryingOn(site, weather, index));
    expect(killFrac(hoe().kill, kind({}), 'whiteThread', met).mean).toBeCloseTo(0.375, 9);
  });
});

describe('an open day, worked by hand', () => {
  const [day] = windowDays(field({ ...two, lastDay: TODAY + 1 }));

  it('kills 0.2565 of the 0.4 that live: half of (0.2 x 0.75 + 0.1 x 0.55 + 0.1 x 0.08) and half of 0.4 x 0.75', () => {
    expect(day).toMatchObject({
      date: '2026-06-11',
      implement: 'hoe',
      open: true,
      closed: [],
      kill: mean(0.2565 / 0.4),
    });
  });

  it('by stage: 0.3 of the weed year are white threads, of which 0.75 die; 0.05 cotyledons; 0.05 with 3 to 4 leaves', () => {
    expect(day?.byStage).toEqual([
      { stage: 'whiteThread', stockFrac: close(0.3), kill: mean(0.75) },
      { stage: 'cotyledon', stockFrac: close(0.05), kill: mean(0.55) },
      { stage: 'leaf3To4', stockFrac: close(0.05), kill: mean(0.08) },
    ]);
  });

  it('by species: 0.213 of 0.4 die and 0.187 are left; 0.3 of 0.4 die and 0.1 is left', () => {
    expect(day?.bySpecies).toEqual([
      { species: 'a', kill: mean(0.213 / 0.4), leftFrac: close(0.187) },
      { species: 'b', kill: mean(0.75), leftFrac: close(0.1) },
    ]);
  });

  it('costs 3 % of the stand, which the crop forgives: score 100 x 0.2565', () => {
    expect(day).toMatchObject({ standLossFrac: 0.03, score: close(25.65) });
  });

  it('after passes that cost 9 % of the stand 1.73 points are not forgiven: 0.4 x 1.73 of 39 points go', () => {
    // One pass of 9 %: another implement, whose entry says so.
    const crop = bean({
      tolerances: [
        { implement: 'hoe', fromLeaf: 1, toLeaf: 4, afternoonOnly: false, standLossFrac: 0.03 },
        { implement: 'rake', fromLeaf: 1, toLeaf: 4, afternoonOnly: false, standLossFrac: 0.09 },
      ],
    });
    const passes = [{ implement: { id: 'rake', loosensGroundFrac: 1 }, day: START }];
    const { score } = firstDay({ ...two, crops: [{ crop, days: standing(2) }], passes });
    expect(score).toBeCloseTo(25.65 - (100 * 0.4 * (100 * (1 - 0.91 * 0.97) - 10)) / 39, 6);
  });

  it('0.03 of the weed year leaves the white thread by tomorrow, half of 0.02 and half of 0.04', () => {
    expect(day?.wait).toEqual({ opensNextDay: true, scoreChange: close(0), outOfWhiteThreadFrac: close(0.03) });
  });

  it('rain of 5 mm on the second day after leaves 0.7 of the kill', () => {
    const weather = fineWeather({ rainMm: column(0).fill(5, 3, 4) });
    expect(firstDay({ ...two, weather }).kill).toEqual(mean((0.7 * 0.2565) / 0.4));
  });

  it('fits the schema', () => {
    expect(windowDaySchema.safeParse(day).error).toBeUndefined();
  });
});

describe('days and windows', () => {
  it('come in the order of days, then of implements, and end with the weather', () => {
    const days = windowDays(field({ implements: [hoe(), cutter()], lastDay: TODAY + 100 }));
    expect(days.map(({ date, implement }) => `${date.slice(8)} ${implement}`)).toEqual([
      '11 hoe',
      '11 cutter',
      '12 hoe',
      '12 cutter',
      '13 hoe',
      '13 cutter',
      '14 hoe',
      '14 cutter',
    ]);
    expect(days.slice(-2).map(({ wait }) => wait)).toEqual([null, null]);
  });

  it('waiting for a closed day loses the score', () => {
    // 8 mm on the 14th close the 13th for the rain after, and the 14th for the rain itself.
    const days = windowDays(field({ weather: fineWeather({ rainMm: column(0).fill(8, 4) }), lastDay: START + 4 }));
    expect(days.map(({ open }) => open)).toEqual([true, true, false, false]);
    expect(days[1]?.wait).toMatchObject({ opensNextDay: false, scoreChange: -(days[1]?.score ?? 0) });
  });

  it('what waiting changes is not known where nobody has forecast the rain after the next day', () => {
    const weather = fineWeather({ rainFilled: Uint8Array.of(0, 0, 0, 1, 1) });
    const days = windowDays(field({ weather, implements: [hoe({ dewOff: false })], lastDay: START + 2 }));
    expect(days.map(({ open }) => open)).toEqual([true, false]);
    expect(days[0]?.wait).toMatchObject({ opensNextDay: null, scoreChange: null });
    // Rain is not all that closes the next day: then it is closed for sure.
    const cold = { ...weather, tempMaxC: Float64Array.of(25, 25, 1, 25, 25) };
    const [day] = windowDays(
      field({ weather: cold, implements: [hoe({ dewOff: false, leastTempMaxC: 5 })], lastDay: START + 2 }),
    );
    expect(day?.wait).toMatchObject({ opensNextDay: false, scoreChange: -(day?.score ?? 0) });
  });

  it('the weather of a day is as good as the worse of that day and the next', () => {
    const weather = fineWeather({ origin: Uint8Array.of(0, 0, 1, 3, 1) });
    const origins = windowDays(field({ weather, lastDay: START + DAYS })).map((day) => day.weatherOrigin);
    expect(origins).toEqual(['forecast', 'climatology', 'climatology', 'forecast']);
  });

  it('nothing for days outside the weather', () => {
    expect(windowDays(field({ today: START + DAYS, lastDay: START + DAYS + 3 }))).toEqual([]);
    expect(windowDays(field({ today: START, lastDay: START - 1 }))).toEqual([]);
  });

  it('does not change its input', () => {
    const input = field({ ...two, lastDay: START + DAYS });
    const before = structuredClone(input);
    windowDays(input);
    expect(input).toEqual(before);
  });

  it('open days in a row of one implement are one window, its best day the highest score, the earlier of equals', () => {
    const row = (implement: string, opens: readonly (number | null)[]) =>
      opens.map((score, i) => ({
        ...firstDay(),
        implement,
        date: `2026-06-${11 + i}`,
        open: score !== null,
        score: score ?? 0,
      }));
    const a = row('a', [5, 7, 7, null, 3]);
    const b = row('b', [null, null, 4, 4, null]);
    const days = a.flatMap((day, i) => [day, b[i] as (typeof b)[number]]);
    expect(passWindows(days, new Set())).toEqual([
      { implement: 'a', from: '2026-06-11', to: '2026-06-13', bestDate: '2026-06-12', bestScore: 7 },
      { implement: 'b', from: '2026-06-13', to: '2026-06-14', bestDate: '2026-06-13', bestScore: 4 },
      { implement: 'a', from: '2026-06-15', to: '2026-06-15', bestDate: '2026-06-15', bestScore: 3 },
    ]);
    // What is told of a day with a named pass is of before it: whoever went by it would go twice.
    expect(passWindows(a, new Set(['2026-06-12']))).toEqual([
      { implement: 'a', from: '2026-06-11', to: '2026-06-11', bestDate: '2026-06-11', bestScore: 5 },
      { implement: 'a', from: '2026-06-13', to: '2026-06-13', bestDate: '2026-06-13', bestScore: 7 },
      { implement: 'a', from: '2026-06-15', to: '2026-06-15', bestDate: '2026-06-15', bestScore: 3 },
    ]);
  });
});

it('of days alike the earlier is the best of a window', () => {
  const [day] = windowDays(field({ implements: [hoe({ dewOff: false })] }));
  const on = (date: string, score: number) => ({
    ...(day as NonNullable<typeof day>),
    implement: 'a',
    date,
    open: true,
    score,
  });
  const best = (scores: readonly number[]) =>
    passWindows(
      scores.map((score, i) => on(`2026-06-1${i}`, score)),
      new Set(),
    )[0];
  expect(best([4, 4.4, 4.5])).toMatchObject({ bestDate: '2026-06-10', bestScore: 4 });
  expect(best([4, 4.6, 4.7])).toMatchObject({ bestDate: '2026-06-11', bestScore: 4.6 });
  // Alike is what the best of all is, not the best so far.
  expect(best([3, 3.4, 3.8])).toMatchObject({ bestDate: '2026-06-11', bestScore: 3.4 });
  // A pass that costs as much as it saves, or more, has score 0 and is no best.
  expect(best([0, 0, 0])).toMatchObject({ from: '2026-06-10', to: '2026-06-12', bestDate: null, bestScore: 0 });
  expect(best([0, 0.3, 0.4])).toMatchObject({ bestDate: '2026-06-11', bestScore: 0.3 });
});

describe('places', () => {
  const at = (latitudeDeg: number, timeZone = 'UTC', longitudeDeg = 0) =>
    firstDay({ site: { latitudeDeg, longitudeDeg, elevationM: 0, timeZone }, implements: [hoe({ dewOff: false })] });

  it('polar day: 24 hours of light', () => {
    expect(at(78).hours?.count).toBeCloseTo(24, 6);
  });

  it('polar night: no hours', () => {
    expect(at(-78).closed).toEqual([{ reason: 'no-hours', given: 0, limit: 2, unit: 'h' }]);
  });

  it('65 N in June: about 21.5 hours; 35 S: about 9.8 (day length tables, from memory, within half an hour)', () => {
    expect(Math.abs((at(65).hours?.count ?? 0) - 21.5)).toBeLessThan(0.5);
    expect(Math.abs((at(-35).hours?.count ?? 0) - 9.8)).toBeLessThan(0.5);
  });

  it.each([
    ['Pacific/Apia', -172],
    ['Pacific/Auckland', 175],
    ['America/Chicago', -93.6],
    ['Asia/Kolkata', 78],
    ['Pacific/Honolulu', -157],
  ])('%s: the hours of 11 June lie on 11 June by its clock', (timeZone, longitude) => {
    const { hours } = at(-10, timeZone, longitude);
    const date = new Intl.DateTimeFormat('sv-SE', { timeZone, dateStyle: 'short' });
    expect([date.format(hours?.fromMs), date.format(hours?.toMs)]).toEqual(['2026-06-11', '2026-06-11']);
  });
});
