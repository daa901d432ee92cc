import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { sourceShelf } from '../../src/service/sourceShelf.ts';
import type { SourceId } from '../../src/sources/live/contract.ts';
import { daysOf } from '../../src/sources/live/reading.ts';
import type { SourceAnswer, Store } from '../../src/store/contract.ts';
import { openSqlite } from '../../src/store/sqlite.ts';
import { testFolder } from '../support/folder.ts';
import { changed, status, well } from '../support/weatherStub.ts';
import { ames, errorOf, type WeatherWorld, weatherWorld } from '../support/weatherWorld.ts';

const NOW_MS = Date.parse('2026-06-15T15:00:00Z');
const DAY_MS = 86_400_000;
const series = { startDate: '2026-06-01', tempMaxC: [20, null], tempMinC: [10, 11], rainMm: [0, null] };

type Warning = Parameters<Parameters<typeof sourceShelf>[0]['warn']>;

/** A shelf on a given store, and what it warned of. */
const shelfOn = (store: Pick<Store, 'sourceAnswer' | 'keepSourceAnswer'>, nowMs = () => NOW_MS) => {
  const warnings: Warning[] = [];
  const shelf = sourceShelf({ store, days: daysOf, nowMs, warn: (...warning) => warnings.push(warning) });
  return { ...shelf, warnings };
};

const holding = (text: string, fetchedAtMs: number) =>
  shelfOn({
    sourceAnswer: async (source, place) => ({ source, place, fetchedAtMs, text }),
    keepSourceAnswer: async () => undefined,
  });

describe('kept weather', () => {
  test('is taken down as it was put up, with its time', async () => {
    const kept: SourceAnswer[] = [];
    const { put, taken, close, warnings } = shelfOn({
      sourceAnswer: async () => kept[0] ?? null,
      keepSourceAnswer: async (answer) => void kept.push(answer),
    });
    expect(await taken('power', '42 -93.75')).toBeNull();
    put('power', '42 -93.75', { value: series, fetchedAtMs: NOW_MS - 5 }, 9);
    expect(kept).toEqual([]);
    await expect.poll(() => kept.length).toBe(1);
    expect(await taken('power', '42 -93.75')).toEqual({ value: series, fetchedAtMs: NOW_MS - 5 });
    await close();
    expect(warnings).toEqual([]);
  });

  test.each([
    ['cut off', JSON.stringify(series).slice(0, -9)],
    ['of another shape', '{"rain":[1]}'],
    ['with a word for a number', JSON.stringify({ ...series, rainMm: [0, 'wet'] })],
    ['empty', ''],
  ])('that is damaged, %s, is as if it were not there, and a line says so', async (_, text) => {
    const { taken, warnings } = holding(text, NOW_MS);
    expect(await taken('power', '42 -93.75')).toBeNull();
    expect(warnings).toEqual([[{ source: 'power', problem: expect.any(String) }, 'kept weather was not read']]);
    expect(JSON.stringify(warnings)).not.toContain('-93.75');
  });

  test('of more than 30 days ago is not taken down', async () => {
    const text = JSON.stringify(series);
    expect(await holding(text, NOW_MS - 30 * DAY_MS).taken('power', 'p')).not.toBeNull();
    expect(await holding(text, NOW_MS - 30 * DAY_MS - 1).taken('power', 'p')).toBeNull();
  });

  test('a store that fails is told of in a line, and nobody else hears of it', async () => {
    const fails = async () => {
      throw new Error('no disk');
    };
    const { put, taken, warnings } = shelfOn({ sourceAnswer: fails, keepSourceAnswer: fails });
    expect(await taken('power', 'p')).toBeNull();
    put('global', 'p', { value: series, fetchedAtMs: NOW_MS }, 9);
    await expect.poll(() => warnings.length).toBe(2);
    expect(warnings.map(([{ source, problem }]) => [source, problem])).toEqual([
      ['power', 'no disk'],
      ['global', 'no disk'],
    ]);
  });

  test('is written one after another, of a place only the newest, and none once it is closed', async () => {
    const written: string[] = [];
    let underWay = 0;
    let most = 0;
    let go = (): void => undefined;
    const { put, close } = shelfOn({
      sourceAnswer: async () => null,
      keepSourceAnswer: async ({ place, fetchedAtMs }) => {
        most = Math.max(most, ++underWay);
        written.push(`${place} ${fetchedAtMs}`);
        if (place === 'c')
          await new Promise<void>((resolve) => {
            go = resolve;
          });
        underWay--;
      },
    });
    for (const at of [1, 2, 3])
      for (const place of ['a', 'b', 'c']) put('power', place, { value: series, fetchedAtMs: at }, 9);
    await expect.poll(() => written).toEqual(['a 3', 'b 3', 'c 3']);
    put('power', 'd', { value: series, fetchedAtMs: 4 }, 9);
    const closed = close();
    go();
    await closed;
    expect(written).toHaveLength(3);
    expect(most).toBe(1);
  });
});

describe('after a restart', () => {
  let world: WeatherWorld;
  let path: string;
  let store: Store;
  const warnings: Warning[] = [];
  const STATION = 'USC00130200';
  const ids: readonly SourceId[] = ['power', 'ncei', 'archive', 'us-grid', 'global'];
  const isForecast = (id: SourceId) => id === 'us-grid' || id === 'global';
  const span = (id: SourceId) =>
    isForecast(id) ? { from: world.today, to: world.today + 7 } : { from: world.today - 30, to: world.today - 6 };

  /** A process that starts on the same database, and a way to ask its sources. */
  const process = (nowMs = world.clock.nowMs) => {
    const warn = (...warning: Warning) => void warnings.push(warning);
    const shelf = sourceShelf({ store, days: daysOf, nowMs, warn });
    const sources = world.make({ shelf });
    return (id: SourceId, days = span(id)) => sources[id].fetchWeather(ames, days, STATION);
  };
  const placesKept = (): number => {
    const native = new Sqlite(path, { readonly: true });
    const count = native.prepare('select count(*) from source_answers').pluck().get() as number;
    native.close();
    return count;
  };

  beforeEach(async () => {
    world = await weatherWorld();
    path = join(testFolder(), 'farms.db');
    store = await openSqlite({ path });
    warnings.length = 0;
  });
  afterEach(async () => {
    await store.close();
    await world.stub.close();
  });

  test.each(ids)('%s, down, is stood in for: the same weather, stale, with the time when it was given', async (id) => {
    const good = await process()(id);
    expect(good.stale).toBe(false);
    await expect.poll(placesKept).toBe(1);
    world.stub.mood = status(503);
    world.stub.pointsMood = status(503);
    world.clock.forward(3 * 3_600_000);
    const later = process();
    for (let n = 0; n < 3; n++) {
      const answer = await later(id);
      expect(answer).toEqual({ ...good, stale: true });
      expect(world.clock.nowMs() - answer.fetchedAtMs).toBeGreaterThanOrEqual(3 * 3_600_000);
    }
    expect(warnings).toEqual([]);
  });

  test('a source that answers is believed, and what was kept of other days stands beside it', async () => {
    await process()('archive', { from: dayNumber('2025-01-01'), to: dayNumber('2025-12-31') });
    await expect.poll(placesKept).toBe(1);
    const later = process();
    world.stub.mood = changed((body: { daily: { precipitation_sum: number[] } }) => ({
      ...body,
      daily: { ...body.daily, precipitation_sum: body.daily.precipitation_sum.map(() => 7) },
    }));
    await later('archive', { from: dayNumber('2025-12-31'), to: dayNumber('2026-04-10') });
    world.stub.mood = status(503);
    const { weather, stale } = await later('archive', { from: dayNumber('2025-12-30'), to: dayNumber('2026-01-01') });
    expect(stale).toBe(true);
    expect(weather.tempMaxC).not.toContain(null);
    expect(weather.rainMm.slice(1)).toEqual([7, 7]);
    expect(weather.rainMm[0]).not.toBe(7);
  });

  test('a row that is damaged is told of in a line; the source answers for itself, and then it is whole again', async () => {
    await process()('power');
    await expect.poll(placesKept).toBe(1);
    const native = new Sqlite(path);
    native.exec(`update source_answers set text = '{"startDate":"2026-05-'`);
    native.close();
    world.stub.mood = status(503);
    expect((await errorOf(process()('power'))).code).toBe('source-unavailable');
    expect(warnings.map(([, text]) => text)).toEqual(['kept weather was not read']);
    world.stub.mood = well();
    const good = await process()('power');
    world.stub.mood = status(503);
    await expect.poll(async () => (await process()('power').catch(() => null))?.weather).toEqual(good.weather);
  });

  test('many questions for a place at once look into the store once', async () => {
    let looked = 0;
    await process()('power');
    await expect.poll(placesKept).toBe(1);
    const counted = {
      ...store,
      sourceAnswer: (...asked: Parameters<Store['sourceAnswer']>) => {
        looked++;
        return store.sourceAnswer(...asked);
      },
    };
    const shelf = sourceShelf({ store: counted, days: daysOf, nowMs: world.clock.nowMs, warn: () => undefined });
    const { power } = world.make({ shelf });
    world.stub.mood = status(503);
    const answers = await Promise.all(Array.from({ length: 50 }, () => power.fetchWeather(ames, span('power'))));
    expect(answers.every(({ stale }) => stale)).toBe(true);
    expect(looked).toBe(1);
  });

  test('two fields of a cell that ask for different days do not write it again and again', async () => {
    let writes = 0;
    const counted = {
      ...store,
      keepSourceAnswer: (...given: Parameters<Store['keepSourceAnswer']>) => {
        writes++;
        return store.keepSourceAnswer(...given);
      },
    };
    const shelf = sourceShelf({ store: counted, days: daysOf, nowMs: world.clock.nowMs, warn: () => undefined });
    const { archive } = world.make({ shelf });
    world.stub.mood = well({ 'cache-control': 'max-age=600' });
    for (let n = 0; n < 10; n++)
      for (const days of [10, 20]) await archive.fetchWeather(ames, { from: world.today - 40, to: world.today - days });
    await shelf.close();
    expect(writes).toBeLessThanOrEqual(2);
    expect(writes).toBeGreaterThan(0);
  });

  test('no row names anything but a source and its own cell or station', async () => {
    const ask = process();
    for (const id of ids) await ask(id);
    await expect.poll(placesKept).toBe(ids.length);
    const native = new Sqlite(path, { readonly: true });
    const places = native.prepare('select place from source_answers order by source').pluck().all();
    native.close();
    expect(places).toEqual([
      '42 -93.6 America/Chicago',
      '42.04 -93.64 America/Chicago',
      STATION,
      '42 -93.75',
      '42.03,-93.63 America/Chicago',
    ]);
  });
});
