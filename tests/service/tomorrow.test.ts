import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { whitethreadError } from '../../src/core/base/errors.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import type { DailyWeather } from '../../src/core/weather/schema.ts';
import { tomorrowCsv } from '../../src/report/tomorrowCsv.ts';
import { tomorrowText } from '../../src/report/tomorrowText.ts';
import { fieldTomorrow } from '../../src/service/answer.ts';
import type { Deps } from '../../src/service/contract.ts';
import { demoFarm } from '../../src/service/demo.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { passRecord } from '../../src/service/passRecord.ts';
import { removeRecord } from '../../src/service/records.ts';
import { storedField, tomorrowOfFarm } from '../../src/service/tomorrow.ts';
import type { LiveSource } from '../../src/sources/live/contract.ts';
import { codeOf } from '../contract/store.ts';
import { added, emptyFarm, keeperOf, plainField, posted, serviceAt } from '../support/farmService.ts';
import { springRows } from '../support/files.ts';
import { inline } from '../support/inline.ts';

const whole = { add: false, version: null };
const yard = { name: 'Yard', latitudeDeg: 41.7, longitudeDeg: -93 };

/** Weather from 1 January 2026 for so many days. */
const spring = (days: number): DailyWeather => {
  const rows = springRows(days);
  return {
    startDate: '2026-01-01',
    tempMaxC: rows.map(({ max }) => max),
    tempMinC: rows.map(({ min }) => min),
    rainMm: rows.map(({ rain }) => rain),
  };
};

const farmWith = async (deps: Deps, weather: DailyWeather | null, station: object = {}) => {
  const farmId = await emptyFarm(deps);
  const stationId = await added(deps, farmId, 'station', { ...yard, ...station });
  if (weather !== null) await keepWeather(deps, keeperOf(farmId), farmId, stationId, posted(weather), whole);
  const fieldId = await added(deps, farmId, 'field', plainField);
  return { farmId, stationId, fieldId, who: keeperOf(farmId) };
};

const forecaster = (answer: () => Promise<DailyWeather>): LiveSource => {
  const attribution = { source: 'Test service', credit: 'by a test', licence: 'none', url: 'http://localhost' };
  return {
    id: 'global',
    gives: 'forecast',
    attribution,
    fetchWeather: async () => ({ weather: await answer(), attribution, fetchedAtMs: 0, stale: true }),
  };
};

describe('tomorrow of a stored farm', () => {
  it('a day that the weather does not reach says which days it has, and nothing of what follows from that', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, who } = await farmWith(deps, spring(132));
    for (const on of ['2025-05-01', '2025-12-31', '2026-05-13', '2027-05-01']) {
      const { answer } = await tomorrowOfFarm(deps, who, farmId, { on, days: 3 });
      expect(answer.failed.map(({ problems }) => problems)).toMatchObject([
        [{ code: 'weather-too-short', given: on, allowed: "a day of the station's weather, 2026-01-01 to 2026-05-12" }],
      ]);
    }
    expect((await tomorrowOfFarm(deps, who, farmId, { on: '2026-05-12', days: 3 })).answer.failed).toEqual([]);
  });

  it('a planned crop does not hide the one that stands in the field, whatever number of days is asked for', async () => {
    const deps = await serviceAt('2026-05-20T17:00:00Z');
    const { farmId, fieldId, who } = await farmWith(deps, spring(160));
    await added(deps, farmId, 'planting', { fieldId, crop: 'soybean', date: '2026-05-05' });
    await added(deps, farmId, 'planting', { fieldId, crop: 'field-corn', date: '2026-05-24' });
    const ofDays = async (days: number) => {
      const { answer } = await tomorrowOfFarm(deps, who, farmId, { days });
      const [field] = answer.fields;
      return { ...field, dates: [...new Set(field?.windowDays.map(({ date }) => date))], remarks: answer.remarks };
    };
    const [few, many] = [await ofDays(2), await ofDays(5)];
    expect(many.crop).toEqual(few.crop);
    expect(many.crop?.crop).toBe('soybean');
    expect(many.dates.at(-1)).toBe('2026-05-23');
    expect(few.remarks.join()).not.toContain('field-corn');
    expect(many.remarks.join()).toContain('Gate Field: told for soybean until 2026-05-23');
  });

  it('two crops sown together are both told, and no window is open that one of them does not bear', async () => {
    const deps = await serviceAt('2026-05-20T17:00:00Z');
    const { farmId, fieldId, who } = await farmWith(deps, spring(160));
    for (const crop of ['oats', 'alfalfa-seeding'])
      await added(deps, farmId, 'planting', { fieldId, crop, date: '2026-04-10' });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 2 });
    const [field] = answer.fields;
    expect(field?.crop?.crop).toBe('oats');
    expect(field?.companions.map(({ crop }) => crop)).toEqual(['alfalfa-seeding']);
    expect(answer.remarks).toEqual([
      expect.stringMatching(/^Gate Field: alfalfa-seeding of 2026-04-10 and oats of 2026-04-10 count as standing /),
    ]);
    const hoes = field?.windowDays.filter(({ implement }) => implement !== 'hand-crew') ?? [];
    expect(hoes.length).toBeGreaterThan(0);
    for (const { closed } of hoes) expect(closed.map(({ crop }) => crop)).toContain('alfalfa-seeding');
    expect(tomorrowText(answer, 'metric')).toMatch(/: oats .*; with\s+alfalfa\s+seeding\s/s);
  });

  it('a crop of last year whose harvest was not entered is named as long as it counts as standing', async () => {
    const deps = await serviceAt('2027-05-04T17:00:00Z');
    const { farmId, fieldId, who } = await farmWith(deps, spring(490));
    await added(deps, farmId, 'planting', { fieldId, crop: 'field-corn', date: '2026-05-06' });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 2 });
    expect(answer.fields[0]?.crop?.crop).toBe('field-corn');
    expect(answer.remarks).toEqual([
      expect.stringMatching(/^Gate Field: field-corn of 2026-05-06 counts as standing for 363 days.*`endedOn`$/),
    ]);
    const inAutumn = await tomorrowOfFarm(deps, who, farmId, { on: '2026-10-04', days: 2 });
    expect(inAutumn.answer.remarks).toEqual([]);
  });

  it('fields under one weather share it, however differently many days their crops are told for', async () => {
    const deps = await serviceAt('2026-05-20T17:00:00Z');
    const { farmId, fieldId, who } = await farmWith(deps, spring(160));
    const ids = [fieldId];
    for (const name of ['Second', 'Third']) ids.push(await added(deps, farmId, 'field', { ...plainField, name }));
    for (const [i, endedOn] of ['2026-05-22', '2026-05-24'].entries())
      await added(deps, farmId, 'planting', { fieldId: ids[i], crop: 'soybean', date: '2026-05-05', endedOn });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 5 });
    expect(answer.weather).toHaveLength(6);
    expect(answer.fields.map(({ weather }) => weather)).toEqual([undefined, undefined, undefined]);
  });

  it('a station whose sources this server does not ask says so, and what to do', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, stationId, who } = await farmWith(deps, null, { observed: 'power', forecast: 'global' });
    const { findings } = await keepWeather(deps, who, farmId, stationId, posted(spring(132)), whole);
    expect(findings[0]).toContain('kept but not used: the station takes its observations from power');
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 0 });
    expect(answer.failed[0]?.problems).toMatchObject([
      {
        code: 'weather-empty',
        given: 'power and global, which this server does not ask',
        advice: expect.stringContaining('operator'),
      },
    ]);
  });

  it('a field under the weather of another station has it beside its windows', async () => {
    const deps = await serviceAt('2026-05-20T17:00:00Z');
    const { farmId, who } = await farmWith(deps, spring(160));
    const wet = { ...spring(160), rainMm: spring(160).rainMm.map((mm) => (mm ?? 0) + 9) };
    const stationId = await added(deps, farmId, 'station', { ...yard, name: 'Valley' });
    await keepWeather(deps, who, farmId, stationId, posted(wet), whole);
    await added(deps, farmId, 'field', { ...plainField, name: 'Valley Field', stationId });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 3 });
    const [gate, valley] = answer.fields;
    expect(gate?.weather).toBeUndefined();
    expect(valley?.weather?.map(({ rainMm }) => rainMm)).toEqual(answer.weather.map(({ rainMm }) => (rainMm ?? 0) + 9));
    const rows: Record<string, string>[] = parse(tomorrowCsv(answer, 'metric'), { columns: true });
    const told = rows.find(({ field }) => field === 'Valley Field');
    expect(Number(told?.rainMm)).toBe(valley?.weather?.[0]?.rainMm);
    // What a pass leaves is not told of a day without one.
    const left = (open: string) => rows.filter((row) => row.open === open).map(({ leftFrac }) => leftFrac !== '');
    expect(new Set(left('false'))).toEqual(new Set([false]));
    const tables = tomorrowText(answer, 'metric').match(/^weather .*$/gm);
    expect(tables).toHaveLength(2);
  });

  it('is that of the same fields given whole: the demo farm, field by field', async () => {
    const today = '2026-05-12';
    const demo = demoFarm(today);
    const deps = await serviceAt(`${today}T17:00:00Z`);
    const farmId = await emptyFarm(deps);
    const { site, weather } = demo.fields[0] as (typeof demo.fields)[number];
    const stationId = await added(deps, farmId, 'station', { ...yard, elevationM: site.elevationM });
    await keepWeather(deps, keeperOf(farmId), farmId, stationId, posted(weather), whole);
    for (const implement of demo.fields[0]?.implements ?? [])
      await added(deps, farmId, 'machine', { name: implement.id, ...implement });
    for (const field of demo.fields) {
      const { name, areaHa, soil, weeds, planting, seedbedDates = [], passes = [] } = field;
      const geometry = { type: 'Point', coordinates: [site.longitudeDeg, site.latitudeDeg] };
      const fieldId = await added(deps, farmId, 'field', {
        name,
        areaHa,
        soil,
        weeds,
        geometry,
        elevationM: site.elevationM,
      });
      if (planting) await added(deps, farmId, 'planting', { fieldId, ...planting });
      for (const date of seedbedDates) await added(deps, farmId, 'pass', { fieldId, date, implement: 'seedbed' });
      for (const pass of passes) await added(deps, farmId, 'pass', { fieldId, ...pass });
    }
    const { answer } = await tomorrowOfFarm(deps, keeperOf(farmId), farmId, { days: 3 });
    expect(answer.failed).toEqual([]);
    expect(answer.today).toBe(today);
    const owned = demo.fields[0]?.implements ?? [];
    for (const field of demo.fields) {
      const input = { ...field, implements: owned, horizonDays: 3 };
      const expected = fieldTomorrow(input, outlook(input, loadCatalogue())).field;
      const { id, remarks, ...told } = answer.fields.find(
        ({ name }) => name === field.name,
      ) as (typeof answer.fields)[number];
      expect(id).toMatch(/^[0-9a-z]{26}$/);
      expect(remarks).toEqual([]);
      expect(told).toEqual(expected);
    }
  });

  it('today is the farm’s own: at 03:00 UTC it is still yesterday in Iowa and already today in Berlin', async () => {
    const deps = await serviceAt('2026-05-12T03:00:00Z');
    for (const [timeZone, today] of [
      ['America/Chicago', '2026-05-11'],
      ['Europe/Berlin', '2026-05-12'],
    ] as const) {
      const farmId = await emptyFarm(deps, timeZone);
      expect((await tomorrowOfFarm(deps, keeperOf(farmId), farmId, { days: 1 })).answer).toMatchObject({
        today,
        timeZone,
      });
    }
  });

  it('hours on the day that clocks change stand in local time with its offset', async () => {
    const deps = await serviceAt('2026-03-08T15:00:00Z');
    const { farmId, who } = await farmWith(deps, spring(80));
    // Frost in the ground leaves a hoe no hours in this March.
    await added(deps, farmId, 'machine', { name: 'Crew', id: 'hand-crew' });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { on: '2026-03-07', days: 1 });
    const hours = answer.fields[0]?.windowDays.flatMap(({ hours: h }) => (h === null ? [] : [h.from])) ?? [];
    expect(hours.filter((text) => text.startsWith('2026-03-07')).every((text) => text.endsWith('-06:00'))).toBe(true);
    expect(hours.filter((text) => text.startsWith('2026-03-08')).every((text) => text.endsWith('-05:00'))).toBe(true);
    expect(hours.length).toBeGreaterThan(0);
  });

  it('a field without weather is told of with its problem and does not sink the others', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, who } = await farmWith(deps, spring(150));
    const bare = await added(deps, farmId, 'station', { ...yard, name: 'Bare', latitudeDeg: 43 });
    const failing = await added(deps, farmId, 'field', { ...plainField, name: 'Far Field', stationId: bare });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 1 });
    expect(answer.fields.map(({ name }) => name)).toEqual(['Gate Field']);
    expect(answer.failed).toEqual([
      { id: failing, name: 'Far Field', problems: [expect.objectContaining({ code: 'weather-empty' })] },
    ]);
  });

  it('a planting that ended is not there any more, one of next week is where the horizon reaches it', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, fieldId, who } = await farmWith(deps, spring(150));
    await added(deps, farmId, 'planting', { fieldId, crop: 'oats', date: '2026-04-01', endedOn: '2026-05-10' });
    await added(deps, farmId, 'planting', { fieldId, crop: 'soybean', date: '2026-05-18' });
    const cropIn = async (days: number) =>
      (await storedField(deps, who, farmId, fieldId, { days })).answer.planting?.crop;
    expect(await cropIn(2)).toBeUndefined();
    expect(await cropIn(7)).toBe('soybean');
  });

  it('a forecast joins what was observed, is credited, and is marked stale when it is', async () => {
    const ahead = { startDate: '2026-05-12', tempMaxC: [25, 26], tempMinC: [12, 13], rainMm: [0, null] };
    const deps = await serviceAt('2026-05-12T17:00:00Z', { sources: { global: forecaster(async () => ahead) } });
    const { farmId, fieldId, who } = await farmWith(deps, spring(131), { forecast: 'global' });
    const { answer, credits } = await storedField(deps, who, farmId, fieldId, { days: 1 });
    expect(answer.weather.forecastFrom).toBe('2026-05-12');
    expect(answer.weather.tempMaxC.slice(-2)).toEqual([25, 26]);
    expect(answer.weather.rainMm.at(-1)).toBeNull();
    expect(credits).toEqual([
      expect.objectContaining({ source: 'Test service', stale: true, fetchedAt: '1970-01-01T00:00:00.000Z' }),
    ]);
  });

  it('a forecast that cannot be had leaves what was posted, and says so', async () => {
    const down = async () => {
      throw whitethreadError([{ code: 'source-unavailable', where: 'global', given: 'nothing', allowed: 'an answer' }]);
    };
    const deps = await serviceAt('2026-05-12T17:00:00Z', { sources: { global: forecaster(down) } });
    const { farmId, who } = await farmWith(deps, spring(150), { forecast: 'global' });
    const { answer, notes } = await tomorrowOfFarm(deps, who, farmId, { days: 1 });
    expect(answer.fields).toHaveLength(1);
    expect(answer.remarks).toEqual(notes);
    expect(notes[0]).toMatch(/^No forecast from global: /);
    // Where it is all there is, the source says why: the station has one, so no other stands in.
    const alone = await farmWith(deps, null, { forecast: 'global' });
    await added(deps, alone.farmId, 'station', { ...yard, name: 'Other', latitudeDeg: 43 });
    expect((await tomorrowOfFarm(deps, alone.who, alone.farmId, { days: 1 })).answer.failed).toMatchObject([
      { problems: [{ code: 'source-unavailable', where: 'global' }] },
    ]);
  });

  it('observations that cannot be had leave the forecast, and it is said; the record of passes says why it is empty', async () => {
    const down: LiveSource = {
      ...forecaster(async () => spring(1)),
      id: 'ncei',
      fetchWeather: async () => {
        throw whitethreadError([{ code: 'source-unavailable', where: 'ncei', given: 'silence', allowed: 'an answer' }]);
      },
    };
    const ahead = { ...spring(150), forecastFrom: '2026-05-12' };
    const sources = { ncei: down, global: forecaster(async () => ahead) };
    const deps = await serviceAt('2026-05-12T17:00:00Z', { sources });
    const { farmId, who } = await farmWith(deps, null, {
      observed: 'ncei',
      sourceStation: 'USC00130200',
      forecast: 'global',
    });
    const { answer, notes } = await tomorrowOfFarm(deps, who, farmId, { days: 1 });
    expect(answer.fields).toHaveLength(1);
    expect(notes[0]).toMatch(/^No observations from ncei: .*silence/);

    const alone = await farmWith(deps, null, { observed: 'ncei', sourceStation: 'USC00130200' });
    await added(deps, alone.farmId, 'pass', { fieldId: alone.fieldId, date: '2026-05-06', implement: 'rotary-hoe' });
    const [row] = await passRecord(deps, alone.who, alone.farmId, {});
    expect(row).toMatchObject({ tempMaxC: null, weedsExpected: null });
    expect(row?.unknown).toContain('silence');
  });

  it('a source that the server does not have, and a station without observations, are said', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, who } = await farmWith(deps, spring(150), { forecast: 'global' });
    const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 1 });
    expect(answer.remarks).toEqual(['No forecast from global: this server does not ask it']);
    const sources = { global: forecaster(async () => ({ ...spring(140), forecastFrom: '2026-05-12' })) };
    const bare = await serviceAt('2026-05-12T17:00:00Z', { sources });
    const other = await farmWith(bare, null, { forecast: 'global' });
    const { notes } = await tomorrowOfFarm(bare, other.who, other.farmId, { days: 1 });
    expect(notes).toEqual(['No observed weather of Yard (posted): all days are forecast']);
  });

  it('a farm of 30 fields asks the workers for at most 4 at a time, and a full server is not a field’s fault', async () => {
    let most = 0;
    let underWay = 0;
    const tomorrow: Deps['compute']['tomorrow'] = async (field) => {
      most = Math.max(most, ++underWay);
      await new Promise(setImmediate);
      underWay--;
      return inline.tomorrow(field);
    };
    const deps = await serviceAt('2026-05-12T17:00:00Z', { compute: { ...inline, tomorrow } });
    const { farmId, fieldId, who } = await farmWith(deps, spring(150));
    for (let i = 1; i < 30; i++) await added(deps, farmId, 'field', plainField);
    await added(deps, farmId, 'planting', { fieldId, crop: 'soybean', date: '2026-05-01' });
    for (let day = 1; day <= 9; day++)
      await added(deps, farmId, 'pass', { fieldId, date: `2026-05-0${day}`, implement: 'rotary-hoe' });
    expect((await tomorrowOfFarm(deps, who, farmId, { days: 1 })).answer.fields).toHaveLength(30);
    expect((await passRecord(deps, who, farmId, {})).map(({ cropStage }) => cropStage)).not.toContain(null);
    expect(most).toBe(4);
    const full = async () => {
      throw whitethreadError([{ code: 'overloaded', where: 'server', given: 'one more', allowed: 'none' }]);
    };
    const busy = { ...deps, compute: { ...inline, tomorrow: full, mornings: full } };
    expect(await codeOf(tomorrowOfFarm(busy, who, farmId, { days: 1 }))).toBe('overloaded');
    expect(await codeOf(passRecord(busy, who, farmId, {}))).toBe('overloaded');
  });

  it('another farm’s farm, field and station are not found', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const mine = await farmWith(deps, spring(150));
    const other = await farmWith(deps, null);
    expect(await codeOf(tomorrowOfFarm(deps, other.who, mine.farmId, { days: 1 }))).toBe('not-found');
    expect(await codeOf(storedField(deps, other.who, other.farmId, mine.fieldId, { days: 1 }))).toBe('not-found');
    expect(await codeOf(keepWeather(deps, other.who, other.farmId, mine.stationId, posted(spring(9)), whole))).toBe(
      'not-found',
    );
    expect(await codeOf(passRecord(deps, other.who, mine.farmId, {}))).toBe('not-found');
  });
});

describe('the weather of a station', () => {
  it('is replaced at a version, added to day by day, and its findings are told', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, stationId, who } = await farmWith(deps, spring(100));
    const keep = (weather: DailyWeather, how: Parameters<typeof keepWeather>[5]) =>
      keepWeather(deps, who, farmId, stationId, posted(weather), how);
    expect(await codeOf(keep(spring(90), { add: false, version: 7 }))).toBe('version-conflict');
    expect((await keep(spring(90), { add: false, version: 1 })).row.version).toBe(2);
    const next = { type: 'csv', text: 'date,tmax_f,tmin_f,rain_in\n2026-04-03,68,50,0.5\n' } as const;
    const { row, findings } = await keepWeather(deps, who, farmId, stationId, next, { add: true, version: null });
    const kept = JSON.parse(row.text) as DailyWeather;
    expect(kept.tempMaxC).toHaveLength(93);
    expect(kept.tempMaxC.slice(90)).toEqual([null, null, 20]);
    expect(kept.rainMm[92]).toBeCloseTo(12.7, 9);
    expect(findings.join(' ')).toContain('2026-04-01 to 2026-04-02');
    const fahrenheit = { ...spring(9), tempMaxC: Array(9).fill(58), tempMinC: Array(9).fill(45) };
    expect(await codeOf(keep(fahrenheit, whole))).toBe('weather-fahrenheit');
  });

  it('that is not there yet is no version’s: whoever means one is told so, and 0 is none', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, who } = await farmWith(deps, spring(100));
    const bare = await added(deps, farmId, 'station', { name: 'Hill', latitudeDeg: 42, longitudeDeg: -93 });
    const keep = (version: number) =>
      keepWeather(deps, who, farmId, bare, posted(spring(100)), { add: false, version });
    expect(await codeOf(keep(1))).toBe('version-conflict');
    await expect(keep(1)).rejects.toThrow('no series has been posted for the station yet');
    expect((await keep(0)).row.version).toBe(1);
    await expect(keep(0)).rejects.toThrow('given version 0; allowed the version that stands, 1');
  });

  it('of several who add days at once and name no version, each adds its own', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, stationId, who } = await farmWith(deps, spring(100));
    const dates = ['2026-04-11', '2026-04-12', '2026-04-13', '2026-04-14'];
    const add = (date: string) => {
      const text = `date,tmax_c,tmin_c,rain_mm\n${date},20,10,0\n`;
      return keepWeather(deps, who, farmId, stationId, { type: 'csv', text }, { add: true, version: null });
    };
    await Promise.all(dates.map(add));
    const row = await deps.store.read(farmId, 'weather', stationId);
    expect(row?.version).toBe(5);
    expect((JSON.parse(row?.text ?? '') as DailyWeather).tempMaxC.slice(100)).toEqual([20, 20, 20, 20]);
  });

  it('that others change again and again is overloaded for those who name no version', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, stationId, who } = await farmWith(deps, spring(100));
    const place = { farmId, kind: 'weather', id: stationId, parentId: stationId };
    const stamp = { keyId: 'another', atMs: 0 };
    let version = 1;
    const takenWeather: Deps['compute']['takenWeather'] = async (given) => {
      await deps.store.change({ ...place, text: JSON.stringify(spring(50 + version)) }, version, stamp);
      version += 1;
      return deps.compute.takenWeather(given);
    };
    const late = { ...deps, compute: { ...deps.compute, takenWeather } };
    const keep = (how: Parameters<typeof keepWeather>[5]) =>
      keepWeather(late, who, farmId, stationId, posted(spring(110)), how);
    expect(await codeOf(keep({ add: true, version: null }))).toBe('overloaded');
    const tries = version - 1;
    expect(tries).toBeGreaterThan(5);
    expect(await codeOf(keep({ add: true, version }))).toBe('version-conflict');
    expect(version - 1).toBe(tries + 1);
  });

  it('sent again unchanged stays at its version and leaves no trace in the history; its findings are told again', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const holed = { ...spring(100), rainMm: spring(100).rainMm.with(50, null) };
    const { farmId, stationId, who } = await farmWith(deps, holed);
    const entries = async () => (await deps.store.history(farmId, { after: null, limit: 100, kind: 'weather' })).length;
    for (const how of [whole, { add: true, version: null }, { add: false, version: 1 }]) {
      const { row, findings } = await keepWeather(deps, who, farmId, stationId, posted(holed), how);
      expect(row.version).toBe(1);
      expect(findings).toHaveLength(1);
    }
    expect(await entries()).toBe(1);
    expect(await codeOf(keepWeather(deps, who, farmId, stationId, posted(holed), { add: false, version: 2 }))).toBe(
      'version-conflict',
    );
    expect((await keepWeather(deps, who, farmId, stationId, posted(spring(100)), whole)).row.version).toBe(2);
    expect(await entries()).toBe(2);
  });
});

describe('the record of passes', () => {
  it('over five years has each pass with its weather, crop, stage, weeds and counts, and leaves the unknown empty', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, fieldId, stationId, who } = await farmWith(deps, null);
    const year = spring(365);
    const startDate = isoDate(dayNumber('2026-05-12') - 5 * 366 + 3);
    // The invented year begins on 1 January, the series in May.
    const shift = dayNumber(startDate) - dayNumber('2021-01-01');
    const repeated = (column: readonly (number | null)[], swing: number) =>
      Array.from({ length: 5 * 366 }, (_, i) => (column[(i + shift) % 365] as number) + (swing * (i % 7)) / 10);
    const weather = {
      startDate,
      tempMaxC: repeated(year.tempMaxC, 1),
      tempMinC: repeated(year.tempMinC, 1),
      rainMm: repeated(year.rainMm, 0),
    };
    await keepWeather(deps, who, farmId, stationId, posted(weather), whole);
    const machineId = await added(deps, farmId, 'machine', { name: 'The old hoe', id: 'rotary-hoe' });
    const crewId = await added(deps, farmId, 'crew', { name: 'Ada', kind: 'driver' });
    for (const y of [2022, 2023, 2024, 2025]) {
      await added(deps, farmId, 'planting', { fieldId, crop: 'soybean', date: `${y}-05-10`, endedOn: `${y}-10-01` });
      await added(deps, farmId, 'pass', {
        fieldId,
        date: `${y}-05-16`,
        implement: 'rotary-hoe',
        machineId,
        crewId,
        note: 'dry',
      });
    }
    await added(deps, farmId, 'pass', { fieldId, date: '2019-05-16', implement: 'seedbed' });
    await added(deps, farmId, 'planting', { fieldId, crop: 'oats', date: '2019-05-01', endedOn: '2019-08-01' });
    await added(deps, farmId, 'count', {
      fieldId,
      date: '2024-05-17',
      species: 'waterhemp',
      perM2: 12,
      stage: 'whiteThread',
    });
    const rows = await passRecord(deps, who, farmId, {});
    expect(rows.map(({ date }) => date)).toEqual([
      '2019-05-16',
      '2022-05-16',
      '2023-05-16',
      '2024-05-16',
      '2025-05-16',
    ]);
    expect(rows[0]).toMatchObject({
      operation: 'seedbed cultivation',
      operator: null,
      tempMaxC: null,
      crop: 'oats',
      cropStage: null,
      weedsExpected: null,
      unknown: expect.stringMatching(
        /^the pass of 2019-05-16: given 2019-05-16; allowed a day of the station's weather/,
      ),
    });
    expect(rows.map(({ fieldId }) => fieldId)).toEqual(rows.map(() => fieldId));
    expect(new Set(rows.map(({ passId }) => passId)).size).toBe(rows.length);
    expect(rows[3]).toMatchObject({
      field: 'Gate Field',
      operation: 'weed control',
      implement: 'The old hoe (rotary-hoe)',
      operator: 'Ada',
      crop: 'soybean',
      weedsCounted: '2024-05-17 waterhemp 12/m2 whiteThread',
      note: 'dry',
    });
    for (const row of rows.slice(1)) {
      expect(row.tempMaxC).toEqual(expect.any(Number));
      expect(row.cropStage).toEqual(expect.any(String));
      expect(row.weedsExpected).toMatch(/^(waterhemp|giant-foxtail): \w+ \d/);
      expect(row.unknown).toBeNull();
    }
    expect(await passRecord(deps, who, farmId, { from: '2024-01-01', to: '2024-12-31' })).toHaveLength(1);
  });

  it('keeps the passes of a field that was removed, with its name, weather and crop', async () => {
    const deps = await serviceAt('2026-05-12T17:00:00Z');
    const { farmId, fieldId, who } = await farmWith(deps, spring(150));
    await added(deps, farmId, 'planting', { fieldId, crop: 'soybean', date: '2026-05-01' });
    await added(deps, farmId, 'pass', { fieldId, date: '2026-05-06', implement: 'rotary-hoe' });
    const before = await passRecord(deps, who, farmId, {});
    await removeRecord(deps, who, farmId, 'field', fieldId, 1);
    expect(await passRecord(deps, who, farmId, {})).toEqual(before);
    expect(before[0]).toMatchObject({ field: 'Gate Field', crop: 'soybean', cropStage: expect.any(String) });
  });
});
