import { beforeAll, describe, expect, it } from 'vitest';
import type { WhitethreadError } from '../../src/core/base/errors.ts';
import type { Deps } from '../../src/service/contract.ts';
import { newId } from '../../src/service/id.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { type RecordKind, recordId, recordKinds } from '../../src/service/records/schema.ts';
import {
  changeRecord,
  createFarm,
  farmHistory,
  listFarms,
  listRecords,
  readRecord,
  removeFarm,
  removeRecord,
} from '../../src/service/records.ts';
import { codeOf } from '../contract/store.ts';
import { added, emptyFarm, keeperOf, operator, plainField, posted, serviceAt } from '../support/farmService.ts';

let deps: Deps;
let farmId: string;
let other: string;
let fieldId: string;
let foreign: Record<'field' | 'station' | 'machine' | 'crew', string>;

beforeAll(async () => {
  deps = await serviceAt('2026-05-12T12:00:00Z');
  farmId = await emptyFarm(deps);
  other = await emptyFarm(deps);
  fieldId = await added(deps, farmId, 'field', plainField);
  foreign = {
    field: await added(deps, other, 'field', plainField),
    station: await added(deps, other, 'station', { name: 'Yard', latitudeDeg: 41, longitudeDeg: -93 }),
    machine: await added(deps, other, 'machine', { name: 'Hoe', id: 'rotary-hoe' }),
    crew: await added(deps, other, 'crew', { name: 'Driver', kind: 'driver' }),
  };
});

describe('ids', () => {
  it('sort as they were made, 1,000 of one instant too, and when the clock goes back', () => {
    const made = Array.from({ length: 1000 }, () => newId(1_780_000_000_000));
    made.push(newId(1_700_000_000_000), newId(1_790_000_000_000));
    expect(made.toSorted()).toEqual(made);
    expect(new Set(made.map((id) => id.slice(10))).size).toBe(1002);
    expect(recordId().safeParse(newId(Date.now())).success).toBe(true);
  });
});

describe('what a record names', () => {
  const planting = { crop: 'soybean', date: '2026-05-05' };
  const pass = { date: '2026-05-06', implement: 'rotary-hoe' };

  it.each<[string, RecordKind, () => object, string]>([
    ['a field at another farm’s station', 'field', () => ({ ...plainField, stationId: foreign.station }), 'stationId'],
    ['a planting in another farm’s field', 'planting', () => ({ ...planting, fieldId: foreign.field }), 'fieldId'],
    ['a pass over another farm’s field', 'pass', () => ({ ...pass, fieldId: foreign.field }), 'fieldId'],
    [
      'a pass with another farm’s machine',
      'pass',
      () => ({ ...pass, fieldId, machineId: foreign.machine }),
      'machineId',
    ],
    ['a pass by another farm’s driver', 'pass', () => ({ ...pass, fieldId, crewId: foreign.crew }), 'crewId'],
    [
      'a crew for another farm’s machine',
      'crew',
      () => ({ name: 'D', kind: 'driver', machineIds: [foreign.machine] }),
      'machineIds[0]',
    ],
    [
      'a count in another farm’s field',
      'count',
      () => ({ fieldId: foreign.field, date: '2026-05-06', species: 'waterhemp', perM2: 3 }),
      'fieldId',
    ],
  ])('%s is not found, and the body’s place is named', async (_, kind, body, where) => {
    const made = added(deps, farmId, kind, body());
    await expect(made).rejects.toThrow(`${where}: given`);
    expect(await codeOf(added(deps, farmId, kind, body()))).toBe('not-found');
  });

  it.each<[RecordKind, () => object, string]>([
    ['planting', () => ({ ...planting, fieldId, crop: 'moss' }), 'Or describe your own in ownCrops of the field'],
    [
      'count',
      () => ({ fieldId, date: '2026-05-06', species: 'triffid', perM2: 3 }),
      'Or describe your own in ownSpecies of the field',
    ],
    ['field', () => ({ ...plainField, weeds: [{ species: 'triffid' }] }), 'Or describe your own in ownSpecies'],
    ['machine', () => ({ name: 'X', id: 'dream' }), 'Or describe your own in `own`, with the same id'],
    [
      'pass',
      () => ({ ...pass, fieldId, implement: 'dream' }),
      'Or seedbed, or describe your own in `own` of a machine',
    ],
  ])('an unknown name of a %s is told where one’s own can be described', async (kind, body, advice) => {
    await expect(added(deps, farmId, kind, body())).rejects.toMatchObject({ problems: [{ advice }] });
  });

  it('unknown names of the catalogue are refused, unless the record or its field brings them', async () => {
    expect(await codeOf(added(deps, farmId, 'planting', { ...planting, fieldId, crop: 'moss' }))).toBe('unknown-crop');
    expect(await codeOf(added(deps, farmId, 'machine', { name: 'X', id: 'dream' }))).toBe('unknown-implement');
    expect(await codeOf(added(deps, farmId, 'pass', { ...pass, fieldId, implement: 'dream' }))).toBe(
      'unknown-implement',
    );
    expect(await codeOf(added(deps, farmId, 'field', { ...plainField, weeds: [{ species: 'triffid' }] }))).toBe(
      'unknown-species',
    );
    const [shipped] = deps.catalogue.species;
    const own = { ...plainField, weeds: [{ species: 'triffid' }], ownSpecies: [{ ...shipped, id: 'triffid' }] };
    const ownField = await added(deps, farmId, 'field', own);
    expect(ownField).toMatch(/^[0-9a-z]{26}$/);
    const count = { fieldId: ownField, date: '2026-05-06', species: 'triffid', perM2: 1 };
    expect(await codeOf(added(deps, farmId, 'count', count))).toBe('none');
    expect(await codeOf(added(deps, farmId, 'count', { ...count, fieldId }))).toBe('unknown-species');
    expect(await codeOf(added(deps, farmId, 'pass', { ...pass, fieldId, implement: 'seedbed' }))).toBe('none');
  });
});

describe('a machine that is described', () => {
  it('has the id that it is described under: under another one windows would go by the catalogue', async () => {
    const [hoe] = deps.catalogue.implements;
    const own = { ...hoe, id: 'ridge-hoe' };
    const told = { problems: [{ code: 'contradiction', where: 'own.id', given: 'ridge-hoe' }] };
    await expect(added(deps, farmId, 'machine', { name: 'M', id: 'rotary-hoe', own })).rejects.toMatchObject(told);
    expect(await added(deps, farmId, 'machine', { name: 'M', id: 'ridge-hoe', own })).toMatch(/^[0-9a-z]{26}$/);
  });
});

describe('a pass and its machine', () => {
  it('are the same tool: a tine weeder made with a rotary hoe is refused, and both are named', async () => {
    const machineId = await added(deps, farmId, 'machine', { name: '30 ft hoe', id: 'rotary-hoe' });
    const body = { fieldId, date: '2026-05-06', implement: 'tine-weeder', machineId };
    const refused = added(deps, farmId, 'pass', body);
    await expect(refused).rejects.toMatchObject({ code: 'contradiction' });
    await expect(refused).rejects.toThrow(/30 ft hoe.*rotary-hoe.*tine-weeder/);
    const id = await added(deps, farmId, 'pass', { ...body, implement: 'rotary-hoe' });
    expect(await codeOf(changeRecord(deps, keeperOf(farmId), farmId, 'pass', id, 1, body))).toBe('contradiction');
    expect(await codeOf(added(deps, farmId, 'pass', { ...body, implement: 'seedbed' }))).toBe('none');
    // Gone, it is still the tool that it was.
    await removeRecord(deps, keeperOf(farmId), farmId, 'machine', machineId, 1);
    expect(await codeOf(changeRecord(deps, keeperOf(farmId), farmId, 'pass', id, 1, body))).toBe('contradiction');
  });
});

describe('what is removed', () => {
  const yard = { latitudeDeg: 41.7, longitudeDeg: -93 };

  it('is no station that fields name: the fields are named, and what to do; one that is merely the nearest may go', async () => {
    const farm = await emptyFarm(deps);
    const who = keeperOf(farm);
    const station = await added(deps, farm, 'station', { name: 'Yard', ...yard });
    const nearer = await added(deps, farm, 'station', { name: 'Gate', ...yard });
    const hill = await added(deps, farm, 'station', { name: 'Hill', ...yard, latitudeDeg: 44 });
    const named = await added(deps, farm, 'field', { ...plainField, name: 'Named', stationId: station });
    const other = await added(deps, farm, 'field', { ...plainField, name: 'Other', stationId: station });
    await added(deps, farm, 'field', { ...plainField, name: 'Nearest' });
    const refused = removeRecord(deps, who, farm, 'station', station, 1);
    await expect(refused).rejects.toMatchObject({ code: 'in-use' });
    await expect(refused).rejects.toThrow(
      `${station}, which 2 fields name: Named (${named}), Other (${other}); allowed a station that no field names as its stationId. Give these fields another stationId first`,
    );
    expect(await codeOf(removeRecord(deps, who, farm, 'station', nearer, 1))).toBe('none');
    expect(await codeOf(removeRecord(deps, who, farm, 'station', newId(0), 1))).toBe('not-found');
    for (const id of [named, other])
      await changeRecord(deps, who, farm, 'field', id, 1, { ...plainField, ownSpecies: [], stationId: hill });
    expect(await codeOf(removeRecord(deps, who, farm, 'station', station, 1))).toBe('none');
    for (let i = 0; i < 6; i++) await added(deps, farm, 'field', { ...plainField, stationId: hill });
    await expect(removeRecord(deps, who, farm, 'station', hill, 1)).rejects.toThrow('and 3 more');
    expect(await codeOf(removeFarm(deps, operator, farm, 1))).toBe('none');
  });

  it('may be named on by what named it: each record can be put back as it was read, and nothing new names it', async () => {
    const who = keeperOf(farmId);
    const [shipped] = deps.catalogue.implements;
    const [species] = deps.catalogue.species;
    const [crop] = deps.catalogue.crops;
    const own = { ownSpecies: [{ ...species, id: 'triffid' }], ownCrops: [{ ...crop, id: 'moss' }] };
    const ids = {
      field: await added(deps, farmId, 'field', { ...plainField, ...own }),
      machine: await added(deps, farmId, 'machine', { name: 'Tool', id: 'tool', own: { ...shipped, id: 'tool' } }),
      crew: await added(deps, farmId, 'crew', { name: 'Joe', kind: 'driver' }),
    };
    const on = { fieldId: ids.field, date: '2026-05-06' };
    const naming: [RecordKind, object][] = [
      ['crew', { name: 'Ann', kind: 'driver', machineIds: [ids.machine] }],
      ['pass', { ...on, implement: 'tool', machineId: ids.machine, crewId: ids.crew }],
      ['planting', { ...on, crop: 'moss' }],
      ['count', { ...on, species: 'triffid', perM2: 1 }],
    ];
    const made: [RecordKind, object, string][] = [];
    for (const [kind, body] of naming) made.push([kind, body, await added(deps, farmId, kind, body)]);
    for (const kind of ['field', 'machine', 'crew'] as const) await removeRecord(deps, who, farmId, kind, ids[kind], 1);
    for (const [kind, body, id] of made) {
      const read = JSON.parse((await readRecord(deps, farmId, kind, id)).text) as object;
      expect(await codeOf(changeRecord(deps, who, farmId, kind, id, 1, read))).toBe('none');
      expect(await codeOf(added(deps, farmId, kind, body))).toBe('not-found');
    }
  });
});

describe('what is removed while a record that names it is written', () => {
  /** Not the nearest of any field. */
  const station = { name: 'Far', latitudeDeg: 60, longitudeDeg: -93 };
  beforeAll(() => added(deps, farmId, 'station', { ...station, name: 'Near', latitudeDeg: 41.7 }));
  const on = { date: '2026-05-06', implement: 'rotary-hoe' };
  const machine = { name: 'Hoe', id: 'rotary-hoe' };
  const crew = { name: 'Joe', kind: 'driver' };
  /** A service that does something else first once everything that is looked at before a write has been. */
  const overtaken = (write: 'create' | 'change' | 'remove', by: () => Promise<unknown>): Deps => {
    const kept = deps.store[write] as (...given: unknown[]) => Promise<unknown>;
    const late = (...given: unknown[]) => by().then(() => kept(...given));
    return { ...deps, store: { ...deps.store, [write]: late } };
  };

  it.each<[RecordKind, RecordKind, object, (id: string) => object]>([
    ['station', 'field', station, (stationId) => ({ ...plainField, stationId })],
    ['field', 'planting', plainField, (id) => ({ fieldId: id, crop: 'soybean', date: '2026-05-06' })],
    ['field', 'pass', plainField, (id) => ({ ...on, fieldId: id })],
    ['field', 'count', plainField, (id) => ({ fieldId: id, date: on.date, species: 'waterhemp', perM2: 1 })],
    ['machine', 'pass', machine, (machineId) => ({ ...on, fieldId, machineId })],
    ['crew', 'pass', crew, (crewId) => ({ ...on, fieldId, crewId })],
    ['machine', 'crew', machine, (id) => ({ ...crew, machineIds: [id] })],
  ])('a %s, is not named by a new or a changed %s', async (kind, naming, body, named) => {
    const who = keeperOf(farmId);
    const goes = async (write: 'create' | 'change') => {
      const id = await added(deps, farmId, kind, body);
      return { id, late: overtaken(write, () => removeRecord(deps, who, farmId, kind, id, 1)) };
    };
    const one = await goes('create');
    expect(await codeOf(added(one.late, farmId, naming, named(one.id)))).toBe('not-found');
    const there = named(await added(deps, farmId, kind, body));
    const made = await added(deps, farmId, naming, there);
    const two = await goes('change');
    const parsed = (data: object) => recordKinds[naming].schema.parse(data);
    expect(await codeOf(changeRecord(two.late, who, farmId, naming, made, 1, parsed(named(two.id))))).toBe('not-found');
    expect(await codeOf(changeRecord(deps, who, farmId, naming, made, 1, parsed(there)))).toBe('none');
  });

  it('is no station: a field that was made meanwhile keeps it, and no weather is kept for one that went', async () => {
    const who = keeperOf(farmId);
    const id = await added(deps, farmId, 'station', station);
    const late = overtaken('remove', () => added(deps, farmId, 'field', { ...plainField, stationId: id }));
    expect(await codeOf(removeRecord(late, who, farmId, 'station', id, 1))).toBe('in-use');
    const gone = await added(deps, farmId, 'station', station);
    const weather = posted({ startDate: '2026-05-01', tempMaxC: [20], tempMinC: [10], rainMm: [0] });
    const without = overtaken('create', () => removeRecord(deps, who, farmId, 'station', gone, 1));
    const keeping = keepWeather(without, who, farmId, gone, weather, { add: false, version: null });
    expect(await codeOf(keeping)).toBe('not-found');
    expect(await deps.store.read(farmId, 'weather', gone)).toBeNull();
  });
});

describe('what was done', () => {
  it('is refused with everything that is wrong with it at once', async () => {
    const body = { fieldId: foreign.crew, date: '2026-05-13', implement: 'triffid-hoe', machineId: foreign.crew };
    const error = await added(deps, farmId, 'pass', body).catch((thrown: unknown) => thrown);
    expect((error as WhitethreadError).problems.map(({ code, where }) => [code, where])).toEqual([
      ['invalid-input', 'date'],
      ['not-found', 'fieldId'],
      ['not-found', 'machineId'],
      ['unknown-implement', 'implement'],
    ]);
  });

  it('lies not ahead of the farm’s today, wherever the farm is', async () => {
    // At noon of 12 May in Greenwich it is 13 May on Kiritimati.
    const east = await emptyFarm(deps, 'Pacific/Kiritimati');
    const bodies = (inField: string, date: string): [RecordKind, object][] => [
      ['pass', { fieldId: inField, date, implement: 'rotary-hoe' }],
      ['count', { fieldId: inField, date, species: 'waterhemp', perM2: 1 }],
    ];
    for (const [kind, body] of bodies(fieldId, '2026-05-13')) {
      const made = added(deps, farmId, kind, body);
      await expect(made).rejects.toThrow('given 2026-05-13; allowed a day up to today, which is 2026-05-12 in');
      expect(await codeOf(made)).toBe('invalid-input');
    }
    const eastField = await added(deps, east, 'field', plainField);
    for (const [kind, body] of bodies(eastField, '2026-05-13'))
      expect(await codeOf(added(deps, east, kind, body))).toBe('none');
    for (const [kind, body] of bodies(fieldId, '2026-05-12')) {
      const id = await added(deps, farmId, kind, body);
      const later = { ...body, date: '2026-05-14' };
      expect(await codeOf(changeRecord(deps, keeperOf(farmId), farmId, kind, id, 1, later))).toBe('invalid-input');
    }
    await removeFarm(deps, operator, east, 1);
    // A planting may be planned.
    expect(await codeOf(added(deps, farmId, 'planting', { fieldId, crop: 'soybean', date: '2026-05-20' }))).toBe(
      'none',
    );
  });

  it('did not end before it began', async () => {
    const body = { fieldId, crop: 'soybean', date: '2026-05-05' };
    const early = added(deps, farmId, 'planting', { ...body, endedOn: '2026-05-04' });
    await expect(early).rejects.toMatchObject({
      code: 'invalid-input',
      problems: [{ where: 'endedOn', given: '"2026-05-04"', allowed: 'a day that is not before `date`' }],
    });
    const id = await added(deps, farmId, 'planting', { ...body, endedOn: '2026-05-05' });
    const change = changeRecord(deps, keeperOf(farmId), farmId, 'planting', id, 1, { ...body, endedOn: '2026-05-04' });
    expect(await codeOf(change)).toBe('invalid-input');
  });
});

describe('records', () => {
  it('of a field are listed by it, and stay when it goes', async () => {
    const gone = await added(deps, farmId, 'field', plainField);
    const made = await added(deps, farmId, 'pass', { fieldId: gone, date: '2026-05-07', implement: 'rotary-hoe' });
    const page = { after: null, limit: 50 };
    expect((await listRecords(deps, farmId, 'pass', page, gone)).map(({ id }) => id)).toEqual([made]);
    await removeRecord(deps, keeperOf(farmId), farmId, 'field', gone, 1);
    expect((await readRecord(deps, farmId, 'pass', made)).version).toBe(1);
    expect(await codeOf(readRecord(deps, farmId, 'field', gone))).toBe('not-found');
  });

  it('a planner writes passes and not fields; a reader writes nothing', async () => {
    const planner = { ...keeperOf(farmId), role: 'planner' } as const;
    const body = { fieldId, date: '2026-05-07', implement: 'rotary-hoe' };
    const id = await added(deps, farmId, 'pass', body);
    expect(await codeOf(changeRecord(deps, planner, farmId, 'pass', id, 1, body))).toBe('none');
    expect(await codeOf(changeRecord(deps, planner, farmId, 'field', fieldId, 1, plainField))).toBe('forbidden');
    expect(await codeOf(removeRecord(deps, { ...planner, role: 'reader' }, farmId, 'pass', id, 2))).toBe('forbidden');
    expect(await codeOf(changeRecord(deps, keeperOf(other), farmId, 'pass', id, 2, body))).toBe('not-found');
  });

  it('farms: an operator sees all, a keeper its own, and of a removed one only that it was removed is kept', async () => {
    const page = { after: null, limit: 50 };
    expect((await listFarms(deps, operator, page)).map(({ id }) => id)).toEqual([farmId, other].sort());
    expect((await listFarms(deps, keeperOf(other), page)).map(({ id }) => id)).toEqual([other]);
    expect(await codeOf(createFarm(deps, keeperOf(farmId), { name: 'x' }))).toBe('not-found');
    expect(await codeOf(removeFarm(deps, keeperOf(farmId), farmId, 1))).toBe('forbidden');
    const short = await emptyFarm(deps);
    await removeFarm(deps, operator, short, 1);
    expect(await codeOf(farmHistory(deps, short, { limit: 10 }))).toBe('not-found');
    const kept = await deps.store.history(short, page);
    expect(kept.map(({ action, keyId }) => [action, keyId])).toEqual([['remove', operator.keyId]]);
  });
});
