import { expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import type { FieldInput } from '../../src/core/outlook/schema.ts';
import type { DailyWeather } from '../../src/core/weather/schema.ts';
import type { Deps } from '../../src/service/contract.ts';
import { passRecord } from '../../src/service/passRecord.ts';
import { changeRecord, removeRecord } from '../../src/service/records.ts';
import { storedField } from '../../src/service/tomorrow.ts';
import type { LiveSource } from '../../src/sources/live/contract.ts';
import { added, emptyFarm, keeperOf, plainField, serviceAt } from '../support/farmService.ts';
import { inline } from '../support/inline.ts';

const FROM = dayNumber('2022-09-01');
const TO = dayNumber('2026-01-01');

/**
 * Invented weather of three years.
 * @param missing first day and length of each gap
 * @param crossed a day whose lowest temperature lies above its highest
 */
const weatherWith = (missing: readonly (readonly [string, number])[], crossed?: string): DailyWeather => {
  const isMissing = (day: number) =>
    missing.some(([date, days]) => day >= dayNumber(date) && day < dayNumber(date) + days);
  const column = (value: (day: number) => number) =>
    Array.from({ length: TO - FROM }, (_, i) => (isMissing(FROM + i) ? null : value(FROM + i)));
  const mean = (day: number) => 9 - 15 * Math.cos((2 * Math.PI * (day - 15)) / 365.25) + 3 * Math.sin(day * 1.3);
  return {
    startDate: isoDate(FROM),
    tempMaxC: column((day) => mean(day) + 6),
    tempMinC: column((day) => mean(day) + (isoDate(day) === crossed ? 12 : -6)),
    rainMm: column((day) => (day % 5 === 0 ? (day % 23) / 2 : 0)),
  };
};

const passes = [
  ['04-15', 'seedbed'],
  ['05-05', 'seedbed'],
  ['05-14', 'rotary-hoe'],
  ['05-25', 'tine-weeder'],
  ['05-25', 'rotary-hoe'],
  ['06-14', 'row-cultivator-mid'],
  ['08-02', 'hand-crew'],
  ['10-10', 'seedbed'],
] as const;

type Run = { readonly dates: readonly string[] };

/** A farm of two fields with eight passes a year, and what its record asks the workers. */
const recorded = async (weather: DailyWeather) => {
  const asked: Run[] = [];
  const mornings: Deps['compute']['mornings'] = (field, dates) => {
    asked.push({ dates });
    return inline.mornings(field, dates);
  };
  const attribution = { source: 'Test service', credit: 'by a test', licence: 'none', url: 'http://localhost' };
  const source: LiveSource = {
    id: 'ncei',
    gives: 'observed',
    attribution,
    fetchWeather: async () => ({ weather, attribution, fetchedAtMs: 0, stale: false }),
  };
  const deps = await serviceAt('2026-01-01T17:00:00Z', {
    sources: { ncei: source },
    compute: { ...inline, mornings },
  });
  const farmId = await emptyFarm(deps);
  await added(deps, farmId, 'station', {
    name: 'Yard',
    latitudeDeg: 41.7,
    longitudeDeg: -93,
    observed: 'ncei',
    sourceStation: 'USC00130200',
  });
  const fieldIds: string[] = [];
  for (const name of ['Gate Field', 'Long Field']) {
    const fieldId = await added(deps, farmId, 'field', { ...plainField, name });
    fieldIds.push(fieldId);
    for (const year of [2023, 2024, 2025]) {
      const planting = { crop: 'soybean', date: `${year}-05-10`, endedOn: `${year}-10-01` };
      await added(deps, farmId, 'planting', { fieldId, ...planting });
      for (const [monthDay, implement] of passes)
        await added(deps, farmId, 'pass', { fieldId, date: `${year}-${monthDay}`, implement });
    }
  }
  return { deps, farmId, who: keeperOf(farmId), fieldIds, asked };
};

/** Filled with a line, with what is usual, and not at all. */
const MISSING = [
  ['2023-03-02', 2],
  ['2024-04-27', 6],
  ['2025-05-12', 14],
] as const;

test('is the same, row by row, as a record of each day alone, whatever is wrong with the weather', async () => {
  const { deps, farmId, who, asked } = await recorded(weatherWith(MISSING, '2023-06-20'));
  const whole = await passRecord(deps, who, farmId, {});
  expect(whole).toHaveLength(2 * 3 * passes.length);
  expect(asked.some(({ dates }) => dates.length > 1)).toBe(true);

  const dates = [...new Set(whole.map(({ date }) => date))];
  const alone = [];
  for (const date of dates) alone.push(...(await passRecord(deps, who, farmId, { from: date, to: date })));
  expect(whole).toEqual(alone);

  const unknown = whole.filter((row) => row.unknown !== null).map(({ date }) => date);
  // A crossed day of 2023 sinks the passes whose weather holds it, a gap of a fortnight in 2025 those after it.
  const sunk = ['06-14', '08-02', '10-10'];
  expect(new Set(unknown)).toEqual(
    new Set([...sunk.map((day) => `2023-${day}`), ...['05-14', '05-25', ...sunk].map((day) => `2025-${day}`)]),
  );
  // The gap's third day still has its stage and weeds, on what is usual in those days.
  expect(whole.find(({ date }) => date === '2025-05-14')).toMatchObject({
    tempMaxC: null,
    weedsExpected: expect.any(String),
    unknown: 'the temperature of the day is not known; the rain of the day is not known',
  });
});

test('tells what the outlook of that morning tells', async () => {
  const { deps, farmId, who, fieldIds } = await recorded(weatherWith([]));
  for (const [monthDay] of passes)
    for (const fieldId of fieldIds) {
      const date = `2024-${monthDay}`;
      const { answer } = await storedField(deps, who, farmId, fieldId, { on: date, days: 0 });
      const { crop, emergence } = outlook(answer as FieldInput, deps.catalogue);
      const [morning] = await deps.compute.mornings(answer, [date]);
      expect(morning?.weeds).toEqual(emergence.map(({ species, stock }) => ({ species, stock })));
      expect(morning?.crops.map(({ stageToday }) => stageToday)).toEqual(crop === null ? [] : [crop.stageToday]);
    }
});

test('without a gap a field and year take a run for each: before planting, in the crop, and after a year of weather', async () => {
  const { deps, farmId, who, asked } = await recorded(weatherWith([]));
  await passRecord(deps, who, farmId, {});
  const of2024 = asked.map(({ dates }) => dates.filter((date) => date.startsWith('2024')).map((date) => date.slice(5)));
  const runs = of2024.filter((dates) => dates.length > 0).map((dates) => dates.join(' '));
  expect(runs.sort()).toEqual(
    ['04-15 05-05', '05-14 05-25 06-14', '08-02', '10-10'].flatMap((dates) => [dates, dates]),
  );
});

test('stays as it is when the machine, the crew, the field and then its station are removed', async () => {
  const { deps, farmId, who } = await recorded(weatherWith([]));
  const yard = { latitudeDeg: 41.7, longitudeDeg: -93, observed: 'ncei', sourceStation: 'USC00130200' };
  const ids = {
    crew: await added(deps, farmId, 'crew', { name: 'Joe', kind: 'driver' }),
    machine: await added(deps, farmId, 'machine', { name: '30 ft hoe', id: 'rotary-hoe' }),
    station: await added(deps, farmId, 'station', { name: 'Hill', ...yard }),
  };
  const fieldId = await added(deps, farmId, 'field', { ...plainField, name: 'North 40', stationId: ids.station });
  const pass = { fieldId, date: '2025-05-12', implement: 'rotary-hoe', machineId: ids.machine, crewId: ids.crew };
  await added(deps, farmId, 'pass', { ...pass, depthCm: 2.5 });
  const before = await passRecord(deps, who, farmId, {});
  expect(before.find(({ field }) => field === 'North 40')).toMatchObject({
    implement: '30 ft hoe (rotary-hoe)',
    operator: 'Joe',
    weedsExpected: expect.any(String),
    unknown: null,
  });
  for (const kind of ['crew', 'machine'] as const) await removeRecord(deps, who, farmId, kind, ids[kind], 1);
  expect(await passRecord(deps, who, farmId, {})).toEqual(before);
  await removeRecord(deps, who, farmId, 'field', fieldId, 1);
  await removeRecord(deps, who, farmId, 'station', ids.station, 1);
  expect(await passRecord(deps, who, farmId, {})).toEqual(before);
});

test('a machine that is another tool by now does not lend its name to what it was', async () => {
  const { deps, farmId, who, fieldIds } = await recorded(weatherWith([]));
  const machine = { name: '30 ft hoe', id: 'rotary-hoe' };
  const machineId = await added(deps, farmId, 'machine', machine);
  const date = '2025-05-12';
  for (const implement of ['rotary-hoe', 'seedbed'])
    await added(deps, farmId, 'pass', { fieldId: fieldIds[0], date, implement, machineId });
  const made = async () => (await passRecord(deps, who, farmId, { from: date, to: date })).map((row) => row.implement);
  expect(await made()).toEqual(['30 ft hoe (rotary-hoe)', '30 ft hoe (seedbed)']);
  await changeRecord(deps, who, farmId, 'machine', machineId, 1, { ...machine, id: 'tine-weeder' });
  expect(await made()).toEqual(['rotary-hoe', '30 ft hoe (seedbed)']);
});

test('a machine that is called by its kind is told once', async () => {
  const { deps, farmId, who, fieldIds } = await recorded(weatherWith([]));
  const machineId = await added(deps, farmId, 'machine', { name: 'Rotary hoe', id: 'rotary-hoe' });
  const date = '2025-05-12';
  await added(deps, farmId, 'pass', { fieldId: fieldIds[0], date, implement: 'rotary-hoe', machineId });
  expect(await passRecord(deps, who, farmId, { from: date, to: date })).toMatchObject([{ implement: 'Rotary hoe' }]);
});
