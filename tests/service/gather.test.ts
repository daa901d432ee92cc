import { expect, it } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { latestOn } from '../../src/core/base/season.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { weatherBegins } from '../../src/service/gather.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { removeRecord } from '../../src/service/records.ts';
import { storedField, tomorrowOfFarm } from '../../src/service/tomorrow.ts';
import { codeOf } from '../contract/store.ts';
import { added, emptyFarm, keeperOf, plainField, posted, serviceAt } from '../support/farmService.ts';
import { springRows } from '../support/files.ts';
import { inline } from '../support/inline.ts';

/** A farm with a field on 12 May 2026, under weather from 1 January. */
const farmInMay = async () => {
  const deps = await serviceAt('2026-05-12T17:00:00Z');
  const farmId = await emptyFarm(deps);
  const who = keeperOf(farmId);
  const stationId = await added(deps, farmId, 'station', { name: 'Yard', latitudeDeg: 41.7, longitudeDeg: -93 });
  const rows = springRows(150);
  const weather = {
    startDate: '2026-01-01',
    tempMaxC: rows.map(({ max }) => max),
    tempMinC: rows.map(({ min }) => min),
    rainMm: rows.map(({ rain }) => rain),
  };
  await keepWeather(deps, who, farmId, stationId, posted(weather), { add: false, version: null });
  const fieldId = await added(deps, farmId, 'field', plainField);
  const passOn = (date: string, implement = 'rotary-hoe') => added(deps, farmId, 'pass', { fieldId, date, implement });
  const input = async () => (await storedField(deps, who, farmId, fieldId, { days: 0 })).answer;
  return { deps, farmId, who, fieldId, passOn, input };
};

it('takes every pass of the season, and none from before its weather, which tells nothing', async () => {
  const { passOn, input } = await farmInMay();
  await passOn('2019-05-01');
  await passOn('2025-07-31', 'seedbed');
  const kept = ['2025-08-01', '2026-03-01', '2026-05-12'];
  for (const date of kept) await passOn(date);
  const { passes } = await input();
  expect(passes?.map(({ date }) => date)).toEqual(kept);
});

it('a seedbed pass is as deep as its record says', async () => {
  const { deps, farmId, fieldId, passOn, input } = await farmInMay();
  await passOn('2026-04-20', 'seedbed');
  await added(deps, farmId, 'pass', { fieldId, date: '2026-05-01', implement: 'seedbed-cultivator', depthCm: 10 });
  const { passes, seedbedDates } = await input();
  expect(passes?.map(({ implement, depthCm }) => [implement, depthCm])).toEqual([
    ['seedbed-cultivator', undefined],
    ['seedbed-cultivator', 10],
  ]);
  expect(seedbedDates).toBeUndefined();
});

it('a crop that has ended leaves the days before as they were told; one sown before the weather begins is left out', async () => {
  const { deps, farmId, who, fieldId, passOn } = await farmInMay();
  await passOn('2026-03-10', 'seedbed');
  await added(deps, farmId, 'planting', { fieldId, crop: 'oats', date: '2026-03-10', endedOn: '2026-05-12' });
  await added(deps, farmId, 'planting', { fieldId, crop: 'winter-rye', date: '2025-10-10', endedOn: '2026-03-10' });
  const told = async (on: string) => {
    const { answer } = await storedField(deps, who, farmId, fieldId, { on, days: 0 });
    return { answer, soil: outlook(answer, deps.catalogue).soil };
  };
  const [before, after] = [await told('2026-05-11'), await told('2026-05-12')];
  expect(before.answer.planting?.crop).toBe('oats');
  expect(after.answer.planting).toBeUndefined();
  expect(after.answer.endedPlantings).toMatchObject([{ crop: 'oats', endedOn: '2026-05-12' }]);
  const at = (soil: typeof after.soil) => dayNumber('2026-05-11') - dayNumber(soil.startDate);
  for (const column of ['temp5MaxC', 'seedbedWaterM3PerM3'] as const)
    expect(after.soil[column][at(after.soil)]).toBe(before.soil[column][at(before.soil)]);
});

it('loses no pass in silence: one more than the outlook takes is refused with the limit', async () => {
  const { deps, farmId, who, fieldId, passOn, input } = await farmInMay();
  const day = dayNumber('2025-09-01');
  for (let i = 0; i < 200; i++) await passOn(isoDate(day + i));
  const full = await input();
  expect(full.passes).toHaveLength(200);
  await inline.tomorrow(full);
  await passOn('2026-05-01');
  const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 0 });
  expect(answer.fields).toEqual([]);
  expect(answer.failed).toMatchObject([{ id: fieldId, problems: [{ code: 'invalid-input', where: 'passes' }] }]);
  expect(answer.failed[0]?.problems[0]?.allowed).toContain('200');
});

it('tells the windows of every machine, forty of them too', async () => {
  const { deps, farmId, who, input } = await farmInMay();
  const [shipped] = deps.catalogue.implements;
  for (let i = 0; i < 40; i++)
    await added(deps, farmId, 'machine', { name: `Tool ${i}`, id: `tool-${i}`, own: { ...shipped, id: `tool-${i}` } });
  expect((await input()).implements).toHaveLength(40);
  const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 0 });
  expect(answer.fields[0]?.windowDays.map(({ implement }) => implement)).toContain('tool-39');
});

it('two machines of one own kind are told once, a plant that a field was kept with twice too', async () => {
  const { deps, farmId, fieldId, who } = await farmInMay();
  const [shipped] = deps.catalogue.implements;
  for (const name of ['Left', 'Right'])
    await added(deps, farmId, 'machine', { name, id: 'own-hoe', own: { ...shipped, id: 'own-hoe' } });
  const row = await deps.store.read(farmId, 'field', fieldId);
  const [weed] = deps.catalogue.species;
  const text = JSON.stringify({ ...JSON.parse(row?.text ?? ''), ownSpecies: [weed, weed] });
  await deps.store.change({ farmId, kind: 'field', id: fieldId, parentId: null, text }, '*', { keyId: 'k', atMs: 1 });
  const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 0 });
  expect(answer.failed).toEqual([]);
  expect(answer.fields[0]?.windowDays.map(({ implement }) => implement)).toEqual(['own-hoe']);
});

it('a pass may be made with any own machine of the farm, the 501st too', async () => {
  const { deps, farmId, passOn } = await farmInMay();
  for (let i = 0; i < 500; i++) await added(deps, farmId, 'machine', { name: `Hoe ${i}`, id: 'rotary-hoe' });
  expect(await codeOf(passOn('2026-05-01', 'last-tool'))).toBe('unknown-implement');
  const [shipped] = deps.catalogue.implements;
  await added(deps, farmId, 'machine', { name: 'Last', id: 'last-tool', own: { ...shipped, id: 'last-tool' } });
  expect(await codeOf(passOn('2026-05-01', 'last-tool'))).toBe('none');
});

it('a pass with an own machine that is gone since still counts, as the machine last stood', async () => {
  const { deps, farmId, who, passOn, input } = await farmInMay();
  const [shipped] = deps.catalogue.implements;
  const own = { ...shipped, id: 'last-tool' };
  const machineId = await added(deps, farmId, 'machine', { name: 'Last', id: 'last-tool', own });
  await passOn('2026-05-02', 'last-tool');
  await removeRecord(deps, who, farmId, 'machine', machineId, 1);
  const { passes, ownImplements, implements: owned } = await input();
  expect(passes).toEqual([expect.objectContaining({ implement: 'last-tool' })]);
  expect(ownImplements).toEqual([expect.objectContaining({ id: 'last-tool' })]);
  // A field that was not worked with it does not carry it.
  const otherId = await added(deps, farmId, 'field', { ...plainField, name: 'Other' });
  expect((await storedField(deps, who, farmId, otherId, { days: 0 })).answer.ownImplements).toEqual([]);
  expect(owned?.map(({ id }) => id)).not.toContain('last-tool');
  const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 0 });
  expect([answer.fields.length, answer.failed]).toEqual([2, []]);
});

it('counts weather from the autumn before the year of the weeds, which turns in the winter of either hemisphere', () => {
  const from = (date: string, latitudeDeg: number, ...planted: string[]) =>
    isoDate(weatherBegins(dayNumber(date), planted, latitudeDeg));
  expect([from('2025-12-31', 41), from('2026-01-01', 41)]).toEqual(['2024-08-01', '2025-08-01']);
  for (const date of ['2025-07-01', '2025-12-31', '2026-01-01', '2026-06-30'])
    expect(from(date, -38)).toBe('2025-02-01');
  expect([from('2025-06-30', -38), from('2026-07-01', -38)]).toEqual(['2024-02-01', '2026-02-01']);
  expect(from('2026-05-12', 41, '2025-06-01')).toBe('2025-06-01');
  expect(from('2026-05-12', 41, '2025-10-01')).toBe('2025-08-01');
  expect(from('2026-05-12', 41, '2025-10-01', '2025-06-01')).toBe('2025-06-01');
});

it('leaves out no weather that a species of the catalogue counts', () => {
  const starts = loadCatalogue()
    .species.filter(({ lifeForm }) => lifeForm === 'winterAnnual')
    .flatMap(({ germination }) => germination.components.map(({ start }) => start));
  expect(starts.length).toBeGreaterThan(0);
  const on = dayNumber('2026-05-12');
  const from = weatherBegins(on, [], 41);
  for (const start of starts) expect(latestOn(start, on)).toBeGreaterThanOrEqual(from);
});

it('a kept field that names a species twice counts it once, with both weights, at most 1000', async () => {
  const { deps, farmId, who, fieldId, input } = await farmInMay();
  const weeds = [
    { species: 'waterhemp', relativeDensity: 2 },
    { species: 'giant-foxtail', relativeDensity: 600 },
    { species: 'waterhemp', relativeDensity: 0.5 },
    { species: 'giant-foxtail', relativeDensity: 600 },
  ];
  const row = await deps.store.read(farmId, 'field', fieldId);
  if (row === null) throw new Error('no field');
  const text = JSON.stringify({ ...JSON.parse(row.text), weeds });
  await deps.store.change({ ...row, text }, row.version, { keyId: who.keyId, atMs: deps.nowMs() });
  expect((await input()).weeds).toEqual([
    { species: 'waterhemp', relativeDensity: 2.5 },
    { species: 'giant-foxtail', relativeDensity: 1000 },
  ]);
  const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 0 });
  expect([answer.fields.length, answer.failed]).toEqual([1, []]);
});
