import { createHash } from 'node:crypto';
import { Worker } from 'node:worker_threads';
import { describe, expect, test, vi } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import type { WhitethreadError } from '../../../src/core/base/errors.ts';
import { parsed } from '../../../src/core/base/schema.ts';
import { chosen, SEEDBED_IMPLEMENT } from '../../../src/core/outlook/catalogue.ts';
import { outlook } from '../../../src/core/outlook/outlook.ts';
import { outsideEvidence } from '../../../src/core/outlook/placeNotes.ts';
import { type FieldInput, fieldRequest, type Outlook } from '../../../src/core/outlook/schema.ts';
import type { DailyWeather } from '../../../src/core/weather/schema.ts';
import { allImplements, allSpecies, asOf, catalogue, fieldInput, outlookOf, sentWeather, without } from './fields.ts';
import { expectLawful, expectWhole } from './lawful.ts';

// Room for a busy machine.
vi.setConfig({ testTimeout: 30_000 });

const errorOf = (input: FieldInput): WhitethreadError => {
  try {
    outlook(input, catalogue);
  } catch (error) {
    return error as WhitethreadError;
  }
  throw new Error('no error was thrown');
};

const speciesOf = (answer: Outlook, id: string) =>
  answer.emergence.find(({ species }) => species === id) as Outlook['emergence'][number];
const stockSum = (answer: Outlook, id: string): number =>
  speciesOf(answer, id).stock.reduce((sum, { stockFrac }) => sum + stockFrac, 0);

describe('names', () => {
  test('every unknown one is told at once, with where it stood and what there is', () => {
    const { problems } = errorOf(
      fieldInput({
        weeds: [{ species: 'waterhemp' }, { species: 'triffid' }],
        planting: { crop: 'maise', date: '2024-05-06' },
        implements: [{ id: 'scythe' }],
        passes: [{ date: '2024-05-10', implement: 'ox' }],
      }),
    );
    expect(problems.map(({ code, where, given }) => [code, where, given])).toEqual([
      ['unknown-species', 'weeds[1].species', 'triffid'],
      ['unknown-implement', 'implements[0].id', 'scythe'],
      ['unknown-implement', 'passes[0].implement', 'ox'],
      ['unknown-crop', 'planting.crop', 'maise'],
    ]);
    expect(problems[0]?.allowed).toMatch(/^one of barnyardgrass, .*yellow-foxtail$/);
    expect(problems[3]?.allowed).toContain('soybean');
    const places = ['ownSpecies', 'ownImplements', 'ownImplements', 'ownCrops'];
    expect(problems.map(({ advice }) => advice)).toEqual(
      places.map((place) => `Or describe your own in ${place} of the field`),
    );
  });

  test('a caller may bring species, crop and implement, and they go before the catalogue', () => {
    const [weed] = catalogue.species;
    const [plant] = catalogue.crops;
    const [tool] = catalogue.implements;
    if (weed === undefined || plant === undefined || tool === undefined) throw new Error('empty catalogue');
    const answer = outlookOf({
      ownSpecies: [{ ...weed, id: 'my-weed', commonName: 'my weed' }],
      ownCrops: [{ ...plant, id: 'my-crop' }],
      ownImplements: [{ ...tool, id: 'my-tool' }],
      weeds: [{ species: 'my-weed' }, { species: weed.id }],
      planting: { crop: 'my-crop', date: '2024-05-06' },
      implements: [{ id: 'my-tool' }],
    });
    expect(speciesOf(answer, 'my-weed').commonName).toBe('my weed');
    expect(speciesOf(answer, 'my-weed').emergedFrac).toEqual(speciesOf(answer, weed.id).emergedFrac);
    expect(answer.crop?.crop).toBe('my-crop');
    expect(answer.windowDays.every(({ implement }) => implement === 'my-tool')).toBe(true);
  });

  test('an own entry of a shipped name replaces it', () => {
    const shipped = catalogue.species.find(({ id }) => id === 'waterhemp');
    if (shipped === undefined) throw new Error('no waterhemp');
    const components = shipped.germination.components.map((one) => ({ ...one, lagCd: one.lagCd + 100 }));
    const own = { ...shipped, germination: { ...shipped.germination, components } };
    const later = speciesOf(outlookOf({ ownSpecies: [own] }), 'waterhemp').p50?.date as string;
    expect(dayNumber(later) - dayNumber(speciesOf(outlookOf(), 'waterhemp').p50?.date as string)).toBeGreaterThan(3);
  });

  test('what is less certain of early dates than of late ones keeps its bands in order', () => {
    const shipped = catalogue.species.find(({ id }) => id === 'waterhemp');
    if (shipped === undefined) throw new Error('no waterhemp');
    const own = { ...shipped, uncertaintyDays: { ...shipped.uncertaintyDays, p10: 40, p50: 2, p90: 2, elsewhere: 0 } };
    const { p10, p50, p90 } = speciesOf(outlookOf({ ownSpecies: [own] }), 'waterhemp');
    expect(p50?.latest).toBe(p10?.latest);
    const latest = [p10?.latest, p50?.latest, p90?.latest] as string[];
    expect(latest.toSorted()).toEqual(latest);
  });

  test('every species, crop and implement of the catalogue goes through, one crop at a time', () => {
    for (const { id, sownIn } of catalogue.crops) {
      const date = sownIn === 'autumn' ? '2024-01-02' : '2024-04-20';
      expectWhole(
        outlookOf({ weeds: allSpecies, implements: allImplements, planting: { crop: id, date }, horizonDays: 60 }),
      );
    }
  });
});

describe('input', () => {
  test.each(['2023-12-31', '2025-01-01'])('today %s outside the weather is told with the days there are', (today) => {
    const weather = sentWeather('2024-01-01', 366);
    const { problems } = errorOf(fieldInput({ today, weather: { ...weather, forecastFrom: '2024-01-01' } }));
    expect(problems).toMatchObject([
      {
        code: 'weather-too-short',
        where: 'today',
        given: today,
        allowed: 'a day of the weather, 2024-01-01 to 2024-12-31',
      },
    ]);
  });

  test('today before weather that is all observed is told to lie outside it, not only to want a forecastFrom', () => {
    const { problems } = errorOf(fieldInput({ today: '2023-12-31', weather: sentWeather('2024-01-01', 366) }));
    expect(problems).toMatchObject([
      {
        code: 'weather-date',
        advice: 'Today, 2023-12-31, lies before the first day of the weather, 2024-01-01: correct one of the two',
      },
    ]);
    const inside = errorOf(fieldInput({ today: '2024-01-01', weather: sentWeather('2024-01-01', 366) }));
    expect(inside.problems[0]?.advice).toContain('Give forecastFrom');
  });

  test('a planting before the weather is told', () => {
    const { problems } = errorOf(fieldInput({ planting: { crop: 'oats', date: '2023-10-01' } }));
    expect(problems).toMatchObject([{ code: 'weather-too-short', where: 'planting.date' }]);
  });

  test('schema problems name their place in the field', () => {
    const { problems } = errorOf(fieldInput({ weeds: [], horizonDays: 2.5 }));
    expect(problems.map(({ where }) => where)).toEqual(['weeds', 'horizonDays']);
  });

  test('a species that stands twice is told at its second place, with where it stands first', () => {
    const weeds = ['waterhemp', 'velvetleaf', 'velvetleaf', 'waterhemp'].map((species) => ({ species }));
    const allowed = (first: string) => expect.stringContaining(`each species once, and ${first} already`);
    expect(errorOf(fieldInput({ weeds })).problems).toEqual([
      {
        code: 'invalid-input',
        where: 'weeds[2].species',
        given: '"velvetleaf"',
        allowed: allowed('velvetleaf stands at [1]'),
      },
      {
        code: 'invalid-input',
        where: 'weeds[3].species',
        given: '"waterhemp"',
        allowed: allowed('waterhemp stands at [0]'),
      },
    ]);
  });

  test('one of its own that stands twice is told at its second place, with where it stands first', () => {
    const [own] = catalogue.implements;
    const [weed] = catalogue.species;
    const [crop] = catalogue.crops;
    const twice = <T>(one: T): T[] => [one, one];
    const given = { ownSpecies: twice(weed), ownCrops: twice(crop), ownImplements: twice(own) } as Partial<FieldInput>;
    expect(errorOf(fieldInput(given)).problems).toMatchObject([
      { code: 'invalid-input', where: 'ownSpecies[1].id', allowed: expect.stringContaining('each id once') },
      { code: 'invalid-input', where: 'ownCrops[1].id', allowed: expect.stringContaining('stands at [0] already') },
      { code: 'invalid-input', where: 'ownImplements[1].id' },
    ]);
  });

  test('without a planting there is no crop, and tools that need none still have windows', () => {
    const answer = outlook(without('planting'), catalogue);
    expect(answer.crop).toBeNull();
    expect(answer.windowDays.some(({ closed }) => closed.some(({ reason }) => reason === 'no-crop'))).toBe(true);
    expectWhole(answer);
  });

  test('a planting that is only planned has a crop that is not sown', () => {
    const answer = outlookOf({ planting: { crop: 'field-corn', date: '2024-06-10' } });
    expect(answer.crop?.stageToday).toBe('not sown');
    expect(answer.crop?.heightCm).toBe(0);
    expectWhole(answer);
  });

  test('a seedbed cultivation after sowing is told to be a slip', () => {
    const planting = { crop: 'soybean', date: '2024-05-05' };
    const noted = (changes: Partial<FieldInput>) =>
      outlookOf({ planting, ...changes }).notes.find(({ code }) => code === 'seedbed-in-crop')?.text;
    expect(noted({ seedbedDates: ['2024-04-20', '2024-05-05'] })).toBeUndefined();
    expect(noted({ seedbedDates: ['2024-05-06'] })).toContain('2024-05-06, after soybean was sown on 2024-05-05');
    expect(noted({ passes: [{ date: '2024-05-07', implement: 'seedbed-cultivator' }] })).toContain('2024-05-07');
  });

  test.each([
    [0, true],
    [2.9, true],
    [3, false],
    [undefined, false],
    [7.62, false],
    [8.1, true],
    [49, true],
  ])('corn planted at %s cm, usually 3.5 to 7.5: told %s', (depthCm, told) => {
    const planting = { crop: 'field-corn', date: '2024-05-06', ...(depthCm === undefined ? {} : { depthCm }) };
    const note = outlookOf({ planting }).notes.find(({ code }) => code === 'planting-depth-unusual');
    expect(note !== undefined).toBe(told);
    if (depthCm === 49)
      expect(note?.text).toContain(
        '49 cm (19.3 in) is given; field corn is usually planted 3.5 to 7.5 cm (1.4 to 3 in) deep',
      );
  });

  test('rows stand apart', () => {
    const planting = { crop: 'soybean', date: '2024-05-05', rowCm: 0 };
    expect(errorOf(fieldInput({ planting })).problems).toMatchObject([
      { where: 'planting.rowCm', given: '0', allowed: 'a number from 5 to 1000 cm' },
    ]);
  });

  test('two machines of one kind have the same windows, told once', () => {
    const one = outlookOf({ implements: [{ id: 'rotary-hoe', widthM: 6 }, { id: 'tine-weeder' }] });
    const two = outlookOf({
      implements: [{ id: 'rotary-hoe', widthM: 6 }, { id: 'tine-weeder' }, { id: 'rotary-hoe', widthM: 9 }],
    });
    expect(two).toEqual(one);
  });

  test('what is owned goes before the catalogue: a 12 m rotary hoe keeps the speed and efficiency of the shipped one', () => {
    const shipped = catalogue.implements.find(({ id }) => id === 'rotary-hoe');
    const field = parsed(fieldRequest, fieldInput({ implements: [{ id: 'rotary-hoe', widthM: 12 }] }), '');
    expect(chosen(field, catalogue).implements).toEqual([{ ...shipped, widthM: 12 }]);
    expect(() => outlookOf({ implements: [{ id: 'rotary-hoe', widthM: 0 }] })).toThrow(/implements\[0\]\.widthM/);
  });

  test('nothing that was given is changed', () => {
    const input = fieldInput({ passes: [{ date: '2024-05-12', implement: 'rotary-hoe' }] });
    const before = structuredClone(input);
    outlook(input, catalogue);
    expect(input).toEqual(before);
  });
});

describe('answer', () => {
  test('is what the schema promises, without a naked date, with laws kept, on every day of a year', () => {
    for (let today = dayNumber('2024-01-01'); today <= dayNumber('2024-12-31'); today += 13)
      expectWhole(
        outlookOf({
          today: isoDate(today),
          weeds: allSpecies,
          passes: [{ date: '2024-05-12', implement: 'rotary-hoe' }],
        }),
      );
  });

  test('the last days of a forecast need no more weather: a horizon beyond it stops where it ends', () => {
    const answer = outlookOf({ today: '2024-12-29', horizonDays: 14 });
    expect(new Set(answer.windowDays.map(({ date }) => date))).toEqual(
      new Set(['2024-12-29', '2024-12-30', '2024-12-31']),
    );
  });

  test('a stage of a crop may be a day off either way however hot it is', () => {
    const hot = sentWeather('2024-01-01', 366);
    const days = { tempMaxC: hot.tempMaxC.map(() => 36), tempMinC: hot.tempMinC.map(() => 26) };
    const planting = { crop: 'sorghum', date: '2024-05-20' };
    const { crop } = outlookOf({ weather: asOf({ ...hot, ...days }, '2024-05-20'), planting });
    const off = crop?.stages.map(({ reached: { date, earliest, latest } }) =>
      [earliest, latest].map((day) => dayNumber(day) - dayNumber(date)),
    );
    expect(off?.[0]).toEqual([-1, 1]);
    expect(off?.every(([before, after]) => (before as number) <= -1 && (after as number) >= 1)).toBe(true);
  });

  test('the mean of the last week at 5 cm needs a week', () => {
    expect(outlookOf({ today: '2024-01-05', seedbedDates: [] }).lastWeekTemp5C).toBeNull();
    const { soil, lastWeekTemp5C } = outlookOf();
    const to = dayNumber('2024-05-20') - dayNumber(soil.startDate);
    const mean = soil.temp5MeanC.slice(to - 7, to).reduce((a, b) => a + b, 0) / 7;
    expect(Math.abs((lastWeekTemp5C as number) - mean)).toBeLessThanOrEqual(0.11);
  });

  test('cautions come once for each danger of the implements', () => {
    const flame = outlookOf({ implements: [{ id: 'flame-broadcast' }, { id: 'flame-directed' }] });
    const named = flame.cautions.map(({ hazard }) => hazard);
    expect(named).toContain('openFlame');
    expect(new Set(named).size).toBe(named.length);
  });
});

describe('passes', () => {
  const open = without('planting', { today: '2024-05-26', seedbedDates: [] });
  const answerWith = (changes: Partial<FieldInput>) => outlook({ ...open, ...changes }, catalogue);
  const none = answerWith({});

  test('a pass that was made lowers what stands later', () => {
    const hoed = answerWith({ passes: [{ date: '2024-05-18', implement: 'rotary-hoe' }] });
    for (const { species } of open.weeds) expect(stockSum(hoed, species)).toBeLessThan(stockSum(none, species));
  });

  test('a seedbed cultivation kills most of what had germinated, unless it rains that day or the next', () => {
    // 9 mm on 25 May, nothing else in that week.
    const { rainMm } = open.weather;
    const on25 = dayNumber('2024-05-25') - dayNumber(open.weather.startDate);
    expect(rainMm.slice(on25 - 5, on25 + 3)).toEqual([0, 0, 0, 0, 0, 9.1, 0, 0]);
    const dry = { ...open.weather, rainMm: rainMm.map((mm, i) => (i === on25 ? 0 : mm)) };
    for (const date of ['2024-05-24', '2024-05-25']) {
      const undone = answerWith({ seedbedDates: [date] });
      const worked = answerWith({ seedbedDates: [date], weather: dry });
      const none = answerWith({ weather: dry });
      for (const { species } of open.weeds) {
        expect(stockSum(worked, species)).toBeLessThan(0.5 * stockSum(none, species));
        expect(stockSum(undone, species)).toBeGreaterThan(1.5 * stockSum(worked, species));
      }
    }
  });

  test('order of passes in the request does not matter', () => {
    const passes = [
      { date: '2024-05-20', implement: 'tine-weeder' },
      { date: '2024-05-14', implement: 'rotary-hoe' },
    ];
    expect(answerWith({ passes })).toEqual(answerWith({ passes: [...passes].reverse() }));
  });

  test('a pass of tomorrow changes nothing this morning', () => {
    const planned = answerWith({ passes: [{ date: '2024-05-27', implement: 'rotary-hoe' }] });
    expect(planned.emergence.map(({ stock }) => stock)).toEqual(none.emergence.map(({ stock }) => stock));
  });

  test('passes before and after the weather are left aside', () => {
    const passes = ['2020-05-01', '2029-05-01'].map((date) => ({ date, implement: 'rotary-hoe' }));
    const { notes, ...answer } = answerWith({ passes });
    const { notes: usual, ...without } = none;
    expect(answer).toEqual(without);
    expect(notes.slice(usual.length).map(({ code }) => code)).toEqual(['pass-before-weather', 'pass-beyond-weather']);
  });
});

describe('notes', () => {
  const codes = (changes: Partial<FieldInput>) => outlookOf(changes).notes.map(({ code }) => code);

  /** The invented year, with rain on some of the days around the seedbed and none on the others. */
  const rainIn = (dates: readonly string[]): DailyWeather => {
    const weather = asOf(sentWeather('2024-01-01', 366), '2024-05-20');
    const date = (i: number) => isoDate(dayNumber('2024-01-01') + i);
    const near = (i: number) => date(i) >= '2024-05-01' && date(i) <= '2024-05-08';
    const rainMm = weather.rainMm.map((mm, i) => (dates.includes(date(i)) ? 20 : near(i) ? 0 : mm));
    return { ...weather, rainMm };
  };

  test('none on a plain field', () => expect(codes({ weather: rainIn([]) })).toEqual([]));

  test('weather that starts after the seeds began to count heat', () => {
    const weather = asOf(sentWeather('2024-04-15', 200), '2024-05-20');
    const [note] = outlookOf({ weather }).notes;
    expect(note?.code).toBe('weather-starts-late');
    expect(note?.text).toContain('2024-04-15');
    expect(note?.text).toContain('waterhemp');
  });

  test.each([
    [36, true],
    [39, false],
    [47, false],
    [48, true],
    [-35, true],
    [-42, false],
  ])('at %d degrees the evidence ends: %s', (latitudeDeg, told) => {
    const site = { latitudeDeg, longitudeDeg: 0 };
    const southern = latitudeDeg < 0;
    const weather = asOf(sentWeather('2023-09-01', 500, { southern }), '2024-05-20');
    const note = outlookOf({ site, weather }).notes.find(({ code }) => code === 'latitude-outside-evidence');
    expect(note !== undefined).toBe(told);
  });

  test.each([
    [36, '36'],
    [38.6, '38.6'],
    [38.96, '38.9'],
    [-47.01, '47.1'],
  ])('a latitude of %d outside the evidence is told as %s', (latitudeDeg, told) =>
    expect(outsideEvidence(latitudeDeg)[0]?.text).toContain(`At ${told} degrees the emergence dates rest`),
  );

  test.each([
    ['America/Chicago', -93.8, false],
    ['UTC', -93.8, true],
    ['America/Chicago', 172.6, true],
    // 14 h ahead of Greenwich, and a day ahead of the sun at its longitude.
    ['Pacific/Kiritimati', -157.4, false],
    // The clocks that are furthest from the sun, in summer: the west of China, of Spain and of Alaska.
    ['Asia/Shanghai', 76, false],
    ['Europe/Madrid', -9.2, false],
    ['America/Anchorage', -169, false],
  ])('a clock of %s at longitude %d is far from the sun: %s', (timeZone, longitudeDeg, told) => {
    const site = { latitudeDeg: 42, longitudeDeg, timeZone };
    expect(codes({ site }).includes('clock-far-from-sun')).toBe(told);
  });

  test('25 mm within three days on a slope of 8 % may wash; less, or level ground, does not', () => {
    const weather = asOf(sentWeather('2024-01-01', 366), '2024-05-20');
    const at = dayNumber('2024-05-21') - dayNumber('2024-01-01');
    const wet = { ...weather, rainMm: weather.rainMm.map((mm, i) => (Math.abs(i - at) <= 1 ? 9 : mm)) };
    const dry = { ...weather, rainMm: weather.rainMm.map((mm, i) => (Math.abs(i - at) <= 1 ? 1 : mm)) };
    const slope = { texture: 'silt-loam', slopeFrac: 0.08 } as const;
    expect(codes({ weather: wet, soil: slope })).toContain('erosion-risk');
    expect(codes({ weather: dry, soil: slope })).not.toContain('erosion-risk');
    expect(codes({ weather: wet })).not.toContain('erosion-risk');
  });

  test('a seedbed pass makes the year larger: 90 % of it is up within a week of the year left alone, not weeks before, and shares stay shares', () => {
    const year = { planting: undefined, passes: [], weeds: [{ species: 'common-lambsquarters' }], today: '2024-12-01' };
    const alone = outlookOf(year);
    const stirred = outlookOf({ ...year, seedbedDates: ['2024-04-20', '2024-05-05'] });
    const lasts = (answer: Outlook) => answer.emergence[0]?.potentialFrac.at(-1) as number;
    expect(lasts(stirred)).toBeGreaterThan(1.1 * lasts(alone));
    const day = (answer: Outlook) => dayNumber(answer.emergence[0]?.p90?.date as string);
    expect(Math.abs(day(stirred) - day(alone))).toBeLessThan(7);
    const sum = stirred.flushes.reduce((all, { shareFrac }) => all + shareFrac, 0);
    expect(sum).toBeLessThanOrEqual(1.0005);
    expect(sum).toBeGreaterThan(0.8);
    expect(stirred.emergence[0]).toMatchObject({ yearFrom: '2024-01-01' });
  });

  test('a flush that the weather cuts off has no latest peak, end or white threads, a finished one has', () => {
    const open = ({ goesOn, start, peak, end, ...of }: Outlook['flushes'][number]) =>
      start.latest !== null &&
      [peak, end, of.whiteThreadFrom, of.whiteThreadPeak, of.whiteThreadTo].every(
        ({ latest }) => (latest === null) === goesOn,
      );
    const may = outlookOf({ weather: asOf(sentWeather('2024-01-01', 145), '2024-05-20') });
    expect(may.flushes.some(({ goesOn }) => goesOn)).toBe(true);
    expect([...may.flushes, ...outlookOf({}).flushes].every(open)).toBe(true);
  });

  test('a short flush does not end, at its earliest, before it starts', () => {
    const short = [80, 90, 100, 110, 120].map((days) => {
      const today = isoDate(dayNumber('2024-01-01') + days - 2);
      const weather = asOf(sentWeather('2024-01-01', days), today);
      return outlookOf({ weather, today, planting: undefined, seedbedDates: [], weeds: [{ species: 'kochia' }] });
    });
    expect(short.some(({ flushes }) => flushes.length > 0)).toBe(true);
    for (const answer of short) expectLawful(answer);
  });

  test('weeds that stood at sowing are told where no pass before it is named', () => {
    const told = (changes: Partial<FieldInput>) => codes({ weather: rainIn([]), seedbedDates: [], ...changes });
    expect(told({})).toContain('sown-into-weeds');
    expect(told({ seedbedDates: ['2024-05-05'] })).not.toContain('sown-into-weeds');
    const pass = { date: '2024-05-06', implement: 'row-cultivator-early' };
    expect(told({ passes: [pass] })).not.toContain('sown-into-weeds');
    expect(told({ passes: [{ ...pass, date: '2024-05-07' }] })).toContain('sown-into-weeds');
    expect(told({ seedbedDates: ['2024-04-10'] })).toContain('sown-into-weeds');
    // Sown before anything came up, not sown yet, or no crop: nothing to tell.
    expect(told({ planting: { crop: 'oats', date: '2024-03-01' } })).not.toContain('sown-into-weeds');
    expect(told({ planting: { crop: 'field-corn', date: '2024-05-21' } })).not.toContain('sown-into-weeds');
    expect(told({ planting: undefined })).not.toContain('sown-into-weeds');
  });

  test('seedbed passes that rain let fail are told by what they left standing, also one of the day of sowing', () => {
    const told = (weather: DailyWeather, seedbedDates: string[]) =>
      outlookOf({ weather, seedbedDates }).notes.find(({ code }) => code === 'sown-into-weeds')?.text;
    const sown = 'The passes in the 21 days before field-corn was sown on 2024-05-06 are taken to have left';
    expect(told(rainIn(['2024-05-04', '2024-05-06']), ['2024-05-05'])).toContain(sown);
    expect(told(rainIn(['2024-05-05', '2024-05-07']), ['2024-05-06'])).toContain(sown);
    expect(told(rainIn([]), ['2024-05-05'])).toBeUndefined();
    expect(told(rainIn([]), ['2024-05-06'])).toBeUndefined();
    expect(told(rainIn([]), [])).toContain('No pass in the 21 days before field-corn was sown');
  });

  test('where the weather ends before rain after the last day is known, and where a pass of the day is named', () => {
    const whole = outlookOf({ horizonDays: 3 });
    expect(whole.notes.map(({ code }) => code)).not.toContain('weather-ends');
    const end = isoDate(dayNumber(whole.soil.startDate) + whole.soil.temp5MeanC.length - 1);
    const [note] = outlookOf({ horizonDays: 366 }).notes.filter(({ code }) => code === 'weather-ends');
    expect(note?.text).toContain(`ends on ${end}`);
    const passes = [{ date: whole.today, implement: 'rotary-hoe' }];
    const [made] = outlookOf({ passes }).notes.filter(({ code }) => code === 'pass-made-today');
    expect(made?.text).toContain('(rotary-hoe)');
    expect(codes({ passes: [] })).not.toContain('pass-made-today');
    const seedbedDates = [whole.today];
    const both = (changes: Partial<FieldInput>) =>
      outlookOf({ seedbedDates, ...changes }).notes.find(({ code }) => code === 'pass-made-today')?.text;
    expect(both({})).toContain(`(${SEEDBED_IMPLEMENT})`);
    expect(both({ passes })).toContain(`(rotary-hoe, ${SEEDBED_IMPLEMENT})`);
  });

  test('a pass that is named twice is told, and counts twice', () => {
    const hoed = { date: '2024-05-14', implement: 'rotary-hoe' };
    const told = (passes: FieldInput['passes']) =>
      outlookOf({ passes }).notes.find(({ code }) => code === 'pass-named-twice')?.text;
    expect(told([hoed, { ...hoed, date: '2024-05-15' }, { ...hoed, implement: 'tine-weeder' }])).toBeUndefined();
    expect(told([hoed, hoed, hoed])).toContain('Named more than once: 2024-05-14 rotary-hoe. Each');
  });

  test('a pass after today is told to be reckoned as if made, by date, whatever its place in the request', () => {
    const seedbedDates = ['2024-05-05', '2024-05-21'];
    const passes = ['2024-05-20', '2024-05-23', '2024-05-22'].map((date) => ({ date, implement: 'rotary-hoe' }));
    const noted = (changes: Partial<FieldInput>) => outlookOf(changes).notes.find(({ code }) => code === 'pass-ahead');
    const note = noted({ seedbedDates, passes });
    expect(note?.text).toContain(
      'Named after today: 2024-05-21 SEEDBED, 2024-05-22 rotary-hoe, 2024-05-23 rotary-hoe. '.replace(
        'SEEDBED',
        SEEDBED_IMPLEMENT,
      ),
    );
    expect(noted({ seedbedDates, passes: passes.toReversed() })).toEqual(note);
    expect(codes({ passes: passes.slice(0, 1) })).not.toContain('pass-ahead');
    expect(codes({ seedbedDates, passes })).not.toContain('pass-beyond-weather');
  });

  test('a pass after the last day of the weather changes nothing but that it is told', () => {
    const end = '2024-06-30';
    const weather = asOf(sentWeather('2024-01-01', 182), '2024-05-20');
    const on = (date: string) => outlookOf({ weather, passes: [{ date, implement: 'rotary-hoe' }] });
    const { notes, ...answer } = on('2024-07-01');
    const { notes: none, ...without } = outlookOf({ weather });
    expect(answer).toEqual(without);
    expect(notes.filter((note) => !none.some(({ code }) => code === note.code))).toEqual([
      {
        code: 'pass-beyond-weather',
        text: expect.stringContaining(`after ${end}, the last day of the weather: 2024-07-01 rotary-hoe.`),
      },
    ]);
    expect(on(end).notes.map(({ code }) => code)).toContain('pass-ahead');
    expect(codes({ weather, seedbedDates: ['2024-05-05', '2024-07-02'] })).toContain('pass-beyond-weather');
  });

  test('a pass or seedbed before the first day of the weather is told to count for nothing', () => {
    const noted = (changes: Partial<FieldInput>) =>
      outlookOf(changes).notes.find(({ code }) => code === 'pass-before-weather')?.text;
    const passes = ['2024-05-12', '2023-12-31'].map((date) => ({ date, implement: 'rotary-hoe' }));
    expect(noted({ passes, seedbedDates: ['2023-10-01', '2024-05-05'] })).toContain(
      `before 2024-01-01, the first day of the weather: 2023-10-01 ${SEEDBED_IMPLEMENT}, 2023-12-31 rotary-hoe. `,
    );
    expect(noted({ passes: [{ date: '2024-01-01', implement: 'rotary-hoe' }] })).toBeUndefined();
  });

  test.each([
    [
      { texture: 'clay', sandFrac: 0.9 },
      'class clay and sandFrac are',
      'counts for clay alone',
      '90 % sand and 10 % clay',
    ],
    [
      { texture: 'loam', clayFrac: 0.255 },
      'loam and clayFrac are',
      'counts for sand alone',
      '40 % sand and 25.5 % clay',
    ],
    [
      { texture: 'loam', sandFrac: 0.6, clayFrac: 0 },
      'and sandFrac and clayFrac are',
      'does not count',
      '60 % sand and 0 % clay',
    ],
  ] as const)('that a class and measured shares are both given: %j', (soil, ...words) => {
    const note = outlookOf({ soil }).notes.find(({ code }) => code === 'texture-and-fractions');
    for (const word of words) expect(note?.text).toContain(word);
  });

  test('nothing of the soil is told where a class or measured shares stand alone', () => {
    for (const soil of [{ texture: 'clay' }, { sandFrac: 0.3, clayFrac: 0.2 }] as const)
      expect(codes({ soil })).not.toContain('texture-and-fractions');
  });

  test('what the passes so far are taken to have cost the stand is told, of those in this crop before today', () => {
    const told = (...dates: string[]) =>
      outlookOf({ passes: dates.map((date) => ({ date, implement: 'rotary-hoe' })) }).notes.find(
        ({ code }) => code === 'stand-lost',
      )?.text;
    expect(told('2024-05-04', '2024-05-06', '2024-05-20')).toBeUndefined();
    const [once, twice] = [told('2024-05-09'), told('2024-05-09', '2024-05-10')].map((text) =>
      Number(text?.match(/cost ([\d.]+) % of the stand; [\d.]+ % over the season/)?.[1]),
    ) as [number, number];
    expect(once).toBeGreaterThan(0);
    expect(Math.abs(twice - 100 * (1 - (1 - once / 100) ** 2))).toBeLessThan(0.1);
  });

  test('odd weather is told in the notes: filled days, a flat line', () => {
    const weather = asOf(sentWeather('2024-01-01', 366), '2024-05-20');
    const tempMaxC = weather.tempMaxC.map((t, i) => (i === 40 || i === 41 ? null : t));
    expect(codes({ weather: { ...weather, tempMaxC } })).toContain('weather-interpolated');
  });
});

describe('places', () => {
  const shift = 184; // 1 March to 1 September
  const p50s = (answer: Outlook) =>
    answer.emergence.map(({ p10, p50, p90 }) => [p10, p50, p90].map((b) => (b === null ? null : dayNumber(b.date))));

  const place = (latitudeDeg: number) => ({ latitudeDeg, longitudeDeg: 0, timeZone: 'UTC' });
  const bare = { weeds: allSpecies, seedbedDates: [] };
  /** Days by which the southern dates are off the northern ones six months earlier. */
  const southernShifts = (weather: DailyWeather): number[] => {
    const today = '2024-06-20';
    const later = (date: string) => isoDate(dayNumber(date) + shift);
    const dates = (latitudeDeg: number, given: DailyWeather, day: string) =>
      p50s(
        outlook(
          without('planting', { ...bare, site: place(latitudeDeg), weather: asOf(given, day), today: day }),
          catalogue,
        ),
      );
    const north = dates(42, weather, today);
    const south = dates(-42, { ...weather, startDate: later(weather.startDate) }, later(today));
    return north.flatMap((bands, s) =>
      bands.map((date, k) => (date === null ? 0 : (south[s]?.[k] ?? Number.NaN) - shift - date)),
    );
  };
  test('the south with mirrored weather has the same dates six months on, all within a day', () => {
    const weather = sentWeather('2022-07-01', 730);
    // With its sun, wind and humidity: else the sun is reckoned, and the earth is nearer to it in January.
    const solarMjPerM2 = weather.rainMm.map(
      (mm, i) => (mm === 0 ? 1 : 0.4) * (15 + 11 * Math.cos((2 * Math.PI * i) / 365)),
    );
    const windMPerS = weather.rainMm.map(() => 2);
    const humidityFrac = weather.rainMm.map((mm) => (mm === 0 ? 0.6 : 0.9));
    const off = southernShifts({ ...weather, solarMjPerM2, windMPerS, humidityFrac });
    expect(off).toHaveLength(3 * allSpecies.length);
    expect(Math.max(...off.map(Math.abs))).toBeLessThanOrEqual(1);
  });

  test('and where its sun is reckoned too, 9 of 10 within a day, all within 3', () => {
    const off = southernShifts(sentWeather('2022-07-01', 730));
    // In November the earth is nearer to the sun than in May: the ground is warmer, by up to 0.8 C in this weather, and dries sooner.
    expect(Math.max(...off.map(Math.abs))).toBeLessThanOrEqual(3);
    expect(off.filter((days) => Math.abs(days) <= 1).length / off.length).toBeGreaterThanOrEqual(0.9);
  });

  test.each([
    ['65 N', 65, 1],
    ['the equator', 0, 26],
    ['65 S', -65, 1],
    ['the pole', 90, -10],
  ])('%s is answered, laws kept', (_, latitudeDeg, meanC) => {
    const weather = asOf(sentWeather('2024-01-01', 366, { meanC, swingC: latitudeDeg === 0 ? 1 : 14 }), '2024-05-20');
    expectWhole(outlookOf({ site: { latitudeDeg, longitudeDeg: 20 }, weather, weeds: allSpecies }));
  });

  test('78 N: day without end in June has hours from 0 to 24, the polar night has none', () => {
    const site = { latitudeDeg: 78, longitudeDeg: 15, timeZone: 'Arctic/Longyearbyen' };
    const weather = sentWeather('2024-01-01', 366, { meanC: 8, swingC: 4 });
    const hand = { implements: [{ id: 'hand-crew' }], site, planting: { crop: 'oats', date: '2024-05-06' } };
    const june = outlookOf({ ...hand, weather: asOf(weather, '2024-06-20'), today: '2024-06-20' });
    const december = outlookOf({ ...hand, weather: asOf(weather, '2024-12-10'), today: '2024-12-10' });
    expectWhole(june);
    expectWhole(december);
    expect(Math.max(...june.windowDays.map(({ hours }) => hours?.count ?? 0))).toBeGreaterThan(18);
    expect(december.windowDays.every(({ closed }) => closed.some(({ reason }) => reason === 'no-hours'))).toBe(true);
  });

  test('a season over New Year in the south: sown in November, harvested in March', () => {
    const weather = sentWeather('2025-06-01', 330, { southern: true });
    const today = '2026-01-03';
    const answer = outlookOf({
      site: { latitudeDeg: -36, longitudeDeg: 147, timeZone: 'Australia/Sydney' },
      weather: asOf(weather, today),
      today,
      planting: { crop: 'soybean', date: '2025-11-20' },
      seedbedDates: ['2025-11-19'],
    });
    expectWhole(answer);
    expect(answer.soil.startDate).toBe('2025-07-01');
    expect(answer.crop?.stageToday).not.toBe('not sown');
    const { p50 } = speciesOf(answer, 'waterhemp');
    expect((p50?.date as string) > '2025-11-01' && (p50?.date as string) < '2026-01-31').toBe(true);
  });
});

describe('the same input gives the same bytes (N4)', () => {
  const bytes = (answer: string) => createHash('sha256').update(answer).digest('hex');

  test('100 times in one process', () => {
    const input = fieldInput({ passes: [{ date: '2024-05-12', implement: 'rotary-hoe' }] });
    const first = bytes(JSON.stringify(outlook(input, catalogue)));
    for (let i = 0; i < 100; i++) expect(bytes(JSON.stringify(outlook(input, catalogue)))).toBe(first);
  });

  test('and in another thread, all species and implements', async () => {
    const input = fieldInput({ weeds: allSpecies, implements: allImplements });
    // A thread does not take over the loader of the tests, so it is given one.
    const url = new URL('./worker.ts', import.meta.url).href;
    const code = `import('tsx/esm/api').then(({ register }) => { register(); return import(${JSON.stringify(url)}); })`;
    const worker = new Worker(code, { eval: true, workerData: input });
    const answer = await new Promise<string>((resolve, reject) => {
      worker.on('message', resolve);
      worker.on('error', reject);
    });
    expect(bytes(answer)).toBe(bytes(JSON.stringify(outlook(input, catalogue))));
  });
});
