import { expect, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { passRecord } from '../../src/service/passRecord.ts';
import { field as fieldSchema } from '../../src/service/records/schema.ts';
import { changeRecord, removeRecord } from '../../src/service/records.ts';
import { tomorrowOfFarm } from '../../src/service/tomorrow.ts';
import { added, emptyFarm, keeperOf, plainField, posted, serviceAt } from '../support/farmService.ts';

const FROM = '2025-01-01';

/** A farm whose clock can be set, from a day of 2026 on; a station's days are as warm as it is said to be. */
const farmOf = async (today: string) => {
  let now = today;
  const deps = await serviceAt(today, { nowMs: () => Date.parse(`${now}T17:00:00Z`) });
  const farmId = await emptyFarm(deps);
  const who = keeperOf(farmId);
  const station = (name: string, latitudeDeg: number) =>
    added(deps, farmId, 'station', { name, latitudeDeg, longitudeDeg: -93 });
  const weather = (id: string, warmthC: number, from = FROM, days = dayNumber('2026-12-31') - dayNumber(from)) => {
    const column = (value: number) => Array.from({ length: days }, (_, i) => value + (i % 7) / 10);
    const rainMm = Array.from({ length: days }, (_, i) => (i % 5 === 0 ? 6 : 0));
    const series = { startDate: from, tempMaxC: column(warmthC), tempMinC: column(warmthC - 10), rainMm };
    return keepWeather(deps, who, farmId, id, posted(series), { add: false, version: null });
  };
  return {
    deps,
    farmId,
    who,
    setTo: (date: string) => {
      now = date;
    },
    withWeather: async (name: string, latitudeDeg: number, warmthC: number) => {
      const id = await station(name, latitudeDeg);
      await weather(id, warmthC);
      return id;
    },
    station,
    weather,
    field: (more: object = {}) => added(deps, farmId, 'field', { ...plainField, ...more }),
    rename: (id: string, version: number, more: object) =>
      changeRecord(deps, who, farmId, 'field', id, version, fieldSchema.parse({ ...plainField, ...more })),
    pass: (fieldId: string, date: string) => added(deps, farmId, 'pass', { fieldId, date, implement: 'rotary-hoe' }),
    gone: (kind: 'field' | 'station', id: string, version = 1) => removeRecord(deps, who, farmId, kind, id, version),
    record: () => passRecord(deps, who, farmId, {}),
    /** Whole degrees of the highest temperature: which station it was. */
    warmths: async () => (await passRecord(deps, who, farmId, {})).map(({ tempMaxC }) => Math.floor(tempMaxC ?? -99)),
    tomorrow: async () => (await tomorrowOfFarm(deps, who, farmId, { days: 0 })).answer,
  };
};

test('of a field that names no station, a pass stays on the nearest of its day when field and station are removed', async () => {
  const farm = await farmOf('2026-11-30');
  const near = await farm.withWeather('Near', 41.7, 20);
  await farm.withWeather('Far', 45.7, 12);
  const field = await farm.field();
  await farm.pass(field, '2026-05-10');
  const before = await farm.record();
  expect(before).toMatchObject([{ weedsExpected: expect.any(String), unknown: null }]);
  expect(Math.floor(before[0]?.tempMaxC ?? 0)).toBe(20);
  await farm.gone('field', field);
  await farm.gone('station', near);
  expect(await farm.record()).toEqual(before);
});

test('a pass stays on the station that its field named that day when the field names another and the first is removed', async () => {
  const farm = await farmOf('2026-03-01');
  const old = await farm.withWeather('Old', 41.7, 20);
  const field = await farm.field({ stationId: old });
  // Of last year, before the field was entered.
  await farm.pass(field, '2025-05-10');
  farm.setTo('2026-06-01');
  await farm.pass(field, '2026-05-10');
  const before = await farm.record();
  const next = await farm.withWeather('New', 41.8, 12);
  await farm.rename(field, 1, { stationId: next });
  farm.setTo('2026-06-20');
  await farm.pass(field, '2026-06-15');
  await farm.gone('station', old);
  expect((await farm.record()).slice(0, 2)).toEqual(before);
  expect(await farm.warmths()).toEqual([20, 20, 12]);
});

test('where the station of that day has no weather of it, another that the field named stands in, the last first', async () => {
  const farm = await farmOf('2026-11-30');
  const bare = await farm.station('Bare', 41.7);
  const field = await farm.field({ stationId: bare });
  await farm.pass(field, '2026-05-10');
  expect(await farm.warmths()).toEqual([-99]);
  for (const [version, warmthC] of [20, 12].entries()) {
    const stationId = await farm.withWeather(`Of ${warmthC}`, 41.8, warmthC);
    await farm.rename(field, version + 1, { stationId });
  }
  expect(await farm.warmths()).toEqual([12]);
});

test('a nearer station without weather changes neither the record nor tomorrow, and may be removed', async () => {
  const farm = await farmOf('2026-11-30');
  await farm.withWeather('Yard', 41.8, 20);
  const field = await farm.field();
  await farm.pass(field, '2026-05-10');
  const before = [await farm.record(), await farm.tomorrow()];
  const nearer = await farm.station('Nearer', 41.7);
  expect([await farm.record(), await farm.tomorrow()]).toEqual(before);
  const later = await farm.field({ name: 'Later' });
  await farm.pass(later, '2026-05-11');
  expect((await farm.tomorrow()).failed).toEqual([]);
  expect(await farm.warmths()).toEqual([20, 20]);
  // Nor does one change what was, whose weather begins before its first day, and one that is gone counts no more.
  await farm.weather(nearer, 12);
  expect(await farm.warmths()).toEqual([20, 12]);
  await farm.gone('station', nearer);
  farm.setTo('2026-12-02');
  await farm.pass(field, '2026-12-01');
  expect(await farm.warmths()).toEqual([20, 12, 20]);
});

test('a day that the nearest station did not see yet is told by another, and how far away that is', async () => {
  const farm = await farmOf('2026-11-30');
  await farm.withWeather('Far', 45.7, 12);
  const near = await farm.station('Near', 41.7);
  await farm.weather(near, 20, '2026-05-01', 200);
  const field = await farm.field();
  await farm.pass(field, '2026-04-10');
  await farm.pass(field, '2026-05-10');
  expect(await farm.warmths()).toEqual([12, 20]);
  expect(await farm.record()).toMatchObject([
    {
      weedsExpected: expect.any(String),
      unknown: expect.stringMatching(/^Gate Field: its weather is that of Far, 445 km \(277 miles\) away/),
    },
    { unknown: null },
  ]);
});

test('without any station that has weather the row says what the first that came lacks, tomorrow what the nearest does', async () => {
  const farm = await farmOf('2026-11-30');
  const field = await farm.field();
  await farm.pass(field, '2026-05-10');
  expect(await farm.record()).toMatchObject([{ unknown: expect.stringContaining('no weather station') }]);
  for (const latitudeDeg of [43, 42]) await farm.station(`At ${latitudeDeg}`, latitudeDeg);
  expect(await farm.record()).toMatchObject([
    { unknown: expect.stringMatching(/^weather of At 43: given no weather/) },
  ]);
  expect((await farm.tomorrow()).failed).toMatchObject([{ problems: [{ where: 'weather of At 42' }] }]);
});

test('a field that was entered before any station keeps its rows on the first that came', async () => {
  const farm = await farmOf('2026-03-01');
  const field = await farm.field();
  await farm.pass(field, '2025-05-10');
  await farm.withWeather('First', 41.8, 20);
  const before = await farm.record();
  expect(await farm.warmths()).toEqual([20]);
  await farm.withWeather('Nearer', 41.7, 12);
  expect(await farm.record()).toEqual(before);
});
