import { afterAll, describe, expect, it, vi } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { isWhitethreadError } from '../../src/core/base/errors.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { inOwnBuffer } from '../../src/http/ownBuffer.ts';
import { pool } from '../../src/http/pool.ts';
import { tomorrowCsv } from '../../src/report/tomorrowCsv.ts';
import { tomorrowText } from '../../src/report/tomorrowText.ts';
import { inUsUnits } from '../../src/report/units.ts';
import { usWeatherCsv, weatherCsv } from '../../src/report/weatherCsv.ts';
import { fieldTomorrow, shownOutlook, tomorrowOf } from '../../src/service/answer.ts';
import { takenWeather } from '../../src/service/takenWeather.ts';
import { daysOf, type Wanted } from '../../src/sources/live/reading.ts';
import { codeOf } from '../contract/store.ts';
import { springCsv, springRows } from '../support/files.ts';
import { FARM_DAY, wholeField } from '../support/madeFarm.ts';
import { datesBetween, powerBody } from '../support/weatherShapes.ts';
import { text as page, zipped } from '../support/weatherStub.ts';
import { ames, errorOf, weatherWorld } from '../support/weatherWorld.ts';

const field = wholeField('Gate Field');
const json = { format: 'json', units: 'metric' } as const;
const text = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);
const workers = pool({ threads: 2, queue: 100, mostMs: 30_000 });
afterAll(() => workers.close());

describe('workers', () => {
  it('give the library’s own outlook, byte for byte, from an object and from the text of a request', async () => {
    const expected = JSON.stringify(shownOutlook(outlook(field, loadCatalogue()), 'America/Chicago'));
    expect(text(await workers.outlook(field, json))).toBe(expected);
    expect(text(await workers.outlook(JSON.stringify(field), json))).toBe(expected);
  });

  it('give the same bytes 100 times on both threads', async () => {
    const all = await Promise.all(Array.from({ length: 100 }, () => workers.outlook(field, json)));
    expect(new Set(all.map(text)).size).toBe(1);
  });

  it('write CSV and text, in either units', async () => {
    expect(text(await workers.outlook(field, { format: 'csv', units: 'metric' })).split('\n')[0]).toContain(
      'temp5MeanC',
    );
    expect(text(await workers.outlook(field, { format: 'csv', units: 'us' })).split('\n')[0]).toContain('temp5MeanF');
    expect(text(await workers.outlook(field, { format: 'text', units: 'us' }))).toMatch(/Gate Field|12 May 2026/);
    expect(text(await workers.outlook(field, { format: 'json', units: 'us' }))).toContain('"temp5MeanF"');
  });

  it('write each answer as JSON into memory that no other answer shares', async () => {
    const [one, other] = await Promise.all([workers.outlook(field, json), workers.outlook(field, json)]);
    expect([one.byteOffset, other.byteOffset]).toEqual([0, 0]);
    expect(one.buffer).not.toBe(other.buffer);
  });

  it('hand over short answers and packed ones, which are made in a buffer that many share', async () => {
    for (const form of [{ packing: 'gzip' }, { packing: 'br' }, { format: 'csv' }, { format: 'text' }] as const) {
      const bytes = await workers.outlook(field, { ...json, ...form });
      expect([bytes.byteLength > 0, bytes.buffer.byteLength]).toEqual([true, bytes.byteLength]);
    }
    const short = Buffer.from('short');
    expect(short.buffer.byteLength).toBeGreaterThan(5);
    expect(inOwnBuffer(short)).toEqual(new Uint8Array([...short]));
    expect(inOwnBuffer(short).buffer.byteLength).toBe(5);
    const own = new Uint8Array(5);
    expect(inOwnBuffer(own)).toBe(own);
  });

  it('give one field of tomorrow as the library does', async () => {
    expect(await workers.tomorrow(field)).toEqual(fieldTomorrow(field, outlook(field, loadCatalogue())));
  });

  it('hand every problem of a bad field across, with its code and where it lies', async () => {
    const bad = { ...field, today: 'soon', weeds: [{ species: 'waterhemp', relativeDensity: -1 }] };
    const error = await workers.outlook(JSON.stringify(bad), json).catch((thrown: unknown) => thrown);
    if (!isWhitethreadError(error)) throw error;
    expect(error.problems.map(({ code, where }) => [code, where])).toEqual([
      ['invalid-input', 'today'],
      ['invalid-input', 'weeds[0].relativeDensity'],
    ]);
    expect(await codeOf(workers.outlook('{"name":', json))).toBe('invalid-input');
    expect(await codeOf(workers.tomorrow({ ...field, weeds: [{ species: 'triffid' }] }))).toBe('unknown-species');
  });
});

describe('weather that is posted', () => {
  const site = { latitudeDeg: 41.7, longitudeDeg: -93, elevationM: 200, timeZone: 'America/Chicago' };
  const given = { type: 'csv', text: springCsv(3650), before: null, site, today: FARM_DAY } as const;

  it('of ten years is read on a thread, and every other callback has its turn meanwhile', async () => {
    let turns = 0;
    const counting = setInterval(() => turns++, 1);
    const taken = await workers.takenWeather(given);
    clearInterval(counting);
    expect(turns).toBeGreaterThan(3);
    expect(taken).toEqual(takenWeather(given));
    const added = { ...given, type: 'json', text: JSON.stringify({ ...field.weather }), before: taken.text } as const;
    expect(await workers.takenWeather(added)).toEqual(takenWeather(added));
    for (const [units, told] of [
      ['metric', weatherCsv],
      ['us', usWeatherCsv],
    ] as const) {
      const csv = await workers.told('weather', taken.text, { format: 'csv', units });
      expect(Buffer.from(csv).toString()).toBe(`${told(JSON.parse(taken.text))}\n`);
    }
  });

  it('and is wrong keeps its problems on the way', async () => {
    const error = await errorOf(workers.takenWeather({ ...given, text: `${given.text}\n2036-13-01,1,0,0` }));
    expect(error).toMatchObject({ problems: [{ where: 'line 3652' }] });
  });
});

describe('what a farm is told', () => {
  it('is written by a thread, in every form and either unit', async () => {
    const one = await workers.tomorrow(field);
    const head = { name: 'Farm', invented: true, today: FARM_DAY, timeZone: 'UTC', remarks: [] };
    const answer = { ...tomorrowOf(head, [one]), credits: [] };
    const told = (format: 'json' | 'csv' | 'text', units: 'metric' | 'us') =>
      workers.told('tomorrow', JSON.stringify(answer), { format, units }).then(text);
    expect(await told('csv', 'us')).toBe(`${tomorrowCsv(answer, 'us')}\n`);
    expect(await told('text', 'metric')).toBe(`${tomorrowText(answer, 'metric')}\n`);
    expect(JSON.parse(await told('json', 'us'))).toEqual(JSON.parse(JSON.stringify(inUsUnits(answer))));
    const items = [{ date: '2026-05-01', field: 'Gate', areaHa: 2 }];
    const passes = await workers.told('passes', JSON.stringify({ items }), { format: 'csv', units: 'us' });
    expect(text(passes).split('\n')[1]).toContain('2026-05-01,Gate,4.9421');
  });
});

describe('a small pool', () => {
  it('that was warmed gives the same answers as one that was not', async () => {
    const [cold, warm] = [
      pool({ threads: 1, queue: 1, mostMs: 30_000 }),
      pool({ threads: 1, queue: 1, mostMs: 30_000 }),
    ];
    await cold.tomorrow(field).catch(() => undefined);
    await warm.warm();
    expect(text(await warm.outlook(field, json))).toBe(text(await cold.outlook(field, json)));
    await Promise.all([cold.close(), warm.close()]);
  });

  it('refuses what it has no room for, and answers again afterwards', async () => {
    const small = pool({ threads: 1, queue: 1, mostMs: 30_000 });
    const codes = await Promise.all(Array.from({ length: 6 }, () => codeOf(small.outlook(field, json))));
    expect(codes).toEqual(['none', 'none', 'overloaded', 'overloaded', 'overloaded', 'overloaded']);
    expect(text(await small.outlook(field, json))).toContain(FARM_DAY);
    await small.close();
  });

  it('ends tasks that take too long, and answers the next that does not', async () => {
    const hasty = pool({ threads: 1, queue: 10, mostMs: 1000 });
    await hasty.warm();
    const years = 40;
    const rows = springRows(365 * years);
    const weather = {
      startDate: isoDate(dayNumber(FARM_DAY) - 365 * years + 5),
      tempMaxC: rows.map(({ max }) => max),
      tempMinC: rows.map(({ min }) => min),
      rainMm: rows.map(({ rain }) => rain),
      forecastFrom: FARM_DAY,
    };
    const long = {
      ...field,
      weather,
      weeds: loadCatalogue().species.map(({ id }) => ({ species: id })),
      horizonDays: 0,
    };
    const codes = await Promise.all(Array.from({ length: 10 }, () => codeOf(hasty.outlook(long, json))));
    expect(codes).toContain('timed-out');
    // Its thread was ended with the task; a new one takes a moment to start.
    await expect.poll(() => codeOf(hasty.outlook(field, json)), { timeout: 30_000 }).toBe('none');
    await hasty.close();
  });
});

describe('answers of weather services', () => {
  const span = (first: string, last: string) => ({ from: dayNumber(first), to: dayNumber(last) });
  const years = ['1996-01-01', '2025-12-31'] as const;
  const asked = { latitude: 42, longitude: -93.75 };
  const sent = (first: string, last: string): { wanted: Wanted; bytes: Uint8Array } => ({
    wanted: { source: 'power', asked, days: span(first, last) },
    bytes: new TextEncoder().encode(JSON.stringify(powerBody(datesBetween(first, last), asked))),
  });

  it('of 30 years are read on a thread: the bytes went there, and nothing was parsed here', async () => {
    const { wanted, bytes } = sent(...years);
    const expected = daysOf(wanted, bytes.slice());
    const parse = vi.spyOn(JSON, 'parse');
    try {
      expect(await workers.days(wanted, bytes)).toEqual(expected);
      expect(parse).not.toHaveBeenCalled();
    } finally {
      parse.mockRestore();
    }
    expect(bytes.byteLength).toBe(0);
    expect(expected.tempMaxC).toHaveLength(10_958);
  });

  it('of a month are read here', async () => {
    const { wanted, bytes } = sent('2025-12-01', '2025-12-31');
    expect(await workers.days(wanted, bytes)).toEqual(daysOf(wanted, bytes));
    expect(bytes.byteLength).toBeGreaterThan(0);
  });

  it('come zipped too, and 30 years of what is no weather count against the source', async () => {
    const world = await weatherWorld(undefined, { totalMs: 20_000 }, { days: workers.days });
    const ask = () => world.sources.power.fetchWeather(ames, span(...years));
    world.stub.mood = zipped;
    expect((await ask()).weather.tempMaxC).toHaveLength(10_958);
    const other = await weatherWorld(undefined, { totalMs: 20_000 }, { days: workers.days });
    other.stub.mood = page(`{"long":"${'x'.repeat(100_000)}"}`, 'application/json');
    for (let n = 0; n < 8; n++) {
      const error = await errorOf(other.sources.power.fetchWeather(ames, span(...years)));
      expect(error.code).toBe(n < 5 ? 'source-malformed' : 'source-unavailable');
    }
    expect(other.stub.hits).toHaveLength(5);
    await Promise.all([world.stub.close(), other.stub.close()]);
  });
});
