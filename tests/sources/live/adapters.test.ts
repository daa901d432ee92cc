import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { whitethreadError } from '../../../src/core/base/errors.ts';
import type { Site } from '../../../src/core/weather/schema.ts';
import { type DaysOf, daysOf } from '../../../src/sources/live/reading.ts';
import { liveSources } from '../../../src/sources/live/registry.ts';
import { gridBody, type NceiRow, type powerBody, weatherOf } from '../../support/weatherShapes.ts';
import { changed, inTurn, status, text, well } from '../../support/weatherStub.ts';
import { ames, errorOf, type WeatherWorld, weatherWorld } from '../../support/weatherWorld.ts';

let world: WeatherWorld;
const start = async (at?: string): Promise<void> => {
  await world?.stub.close();
  world = await weatherWorld(at);
};
beforeEach(() => start());
afterEach(() => world.stub.close());

const from = (date: string, days: number) => ({ from: dayNumber(date), to: dayNumber(date) + days - 1 });
/** 150 fields within half a kilometre. */
const fields: Site[] = Array.from({ length: 150 }, (_, i) => ({
  ...ames,
  latitudeDeg: 42.0305 + 0.00002 * i,
  longitudeDeg: -93.6305 - 0.00002 * i,
}));

describe('150 fields in one cell', () => {
  test.each(['power', 'archive', 'us-grid', 'global'] as const)('%s: one call', async (id) => {
    const days = id === 'power' || id === 'archive' ? [-30, -10] : [0, 5];
    const span = { from: world.today + (days[0] as number), to: world.today + (days[1] as number) };
    await Promise.all(fields.map((site) => world.sources[id].fetchWeather(site, span)));
    expect(world.stub.hits).toHaveLength(1);
    expect(world.stub.lookUps).toHaveLength(id === 'us-grid' ? 1 : 0);
  });
});

describe('us-grid', () => {
  const ask = (days = 8) =>
    world.sources['us-grid'].fetchWeather(ames, { from: world.today, to: world.today + days - 1 });
  const withGrid = (change: (properties: ReturnType<typeof gridBody>['properties']) => object) =>
    changed((body: ReturnType<typeof gridBody>) => ({
      properties: { ...body.properties, ...change(body.properties) },
    }));

  test('rain beyond its last layer is unknown, while temperatures go on', async () => {
    const { weather } = await ask();
    expect(weather.rainMm.map((rain) => rain === null)).toEqual([false, false, false, false, false, true, true, true]);
    expect(weather.tempMaxC).not.toContain(null);
  });

  test('humidity as a fraction, wind of 18 km/h at 10 m as 3.74 m/s at 2 m', async () => {
    const { weather } = await ask(2);
    expect(weather.humidityFrac).toEqual([0.6, 0.6]);
    expect(weather.windMPerS?.[0]).toBeCloseTo(3.74, 2);
  });

  test.each([
    ['absent', undefined],
    ['empty and without a unit', { values: [] }],
  ])('a rain layer that is %s is unknown rain', async (_, quantitativePrecipitation) => {
    world.stub.mood = withGrid(() => ({ quantitativePrecipitation }));
    const { weather } = await ask();
    expect(new Set(weather.rainMm)).toEqual(new Set([null]));
    expect(weather.tempMaxC[0]).not.toBeNull();
  });

  test.each(['maxTemperature', 'minTemperature'])('without the layer %s it is malformed', async (layer) => {
    world.stub.mood = withGrid(() => ({ [layer]: undefined }));
    expect((await errorOf(ask())).code).toBe('source-malformed');
  });

  test.each([
    ['2026-03-06T15:00:00Z', 'the day of 23 hours'],
    ['2026-10-30T15:00:00Z', 'the day of 25 hours'],
    ['2028-02-27T15:00:00Z', '29 February'],
  ])('from %s: %s has its own temperatures and all of its rain', async (at) => {
    await start(at);
    const { weather } = await ask(5);
    const dates = weather.tempMaxC.map((_, i) => isoDate(world.today + i));
    expect(weather.tempMaxC).toEqual(dates.map((date) => weatherOf(date).maxC));
    expect(weather.tempMinC).toEqual(dates.map((date) => weatherOf(date).minC));
    for (const [i, rain] of weather.rainMm.entries()) expect(rain).toBeCloseTo(weatherOf(dates[i] as string).rainMm, 9);
  });

  test.each(['2100-01-01', '9999-12-31'])('a temperature of %s is malformed, and quickly', async (date) => {
    world.stub.mood = withGrid(({ maxTemperature: { uom, values } }) => ({
      maxTemperature: { uom, values: [...values, { validTime: `${date}T12:00:00+00:00/PT13H`, value: 20 }] },
    }));
    expect((await errorOf(ask())).code).toBe('source-malformed');
  });

  test('a forecast of days that have all gone by is of no use', async () => {
    world.stub.mood = withGrid(() => {
      const { maxTemperature, minTemperature } = gridBody(world.clock.nowMs() - 30 * 86_400_000).properties;
      return { maxTemperature, minTemperature };
    });
    expect((await errorOf(ask())).code).toBe('source-outside');
  });

  test('rain of a day that has partly gone is unknown', async () => {
    world.stub.mood = withGrid(({ quantitativePrecipitation: { uom, values } }) => ({
      quantitativePrecipitation: { uom, values: values.slice(1) },
    }));
    const { weather } = await ask(2);
    expect(weather.rainMm[0]).toBeNull();
    expect(weather.rainMm[1]).not.toBeNull();
  });

  // At 10 h the layer begins at 6 h: github.com/weather-gov/api, issue 20, says that it goes back some six hours,
  // and a recording begins at 13:00 where it was issued at 19:22 (github.com/MatthewFlamm/pynws, tests/fixtures/gridpoints.json).
  test.each([
    ['a storm of the afternoon is told', [0, 18, 6], 24],
    ['a rest with less than a wet day says nothing of the day', [0, 0.5, 0.4], null],
    ['a rest that is not known whole says nothing', [0, 18, null], null],
  ])('rain of a day that has partly gone: %s', async (_, rest, expected) => {
    world.stub.mood = withGrid(({ quantitativePrecipitation: { uom, values } }) => ({
      quantitativePrecipitation: {
        uom,
        values: values.slice(1).map((value, i) => (i < rest.length ? { ...value, value: rest[i] } : value)),
      },
    }));
    const { weather } = await ask(2);
    expect(weather.rainMm[0]).toBe(expected);
    expect(weather.rainMm[1]).toBeCloseTo(6, 9);
  });

  test('a cell is looked up once a day, and an old look-up serves where a new one fails', async () => {
    world.stub.pointsMood = well();
    await ask();
    world.clock.forward(3_600_000);
    await ask();
    expect(world.stub.lookUps).toHaveLength(1);
    world.stub.pointsMood = status(500);
    world.clock.forward(86_400_000);
    expect((await world.sources['us-grid'].fetchWeather(ames, from(isoDate(world.today + 1), 3))).stale).toBe(false);
    expect(world.stub.lookUps.length).toBeGreaterThan(1);
  });

  test('look-ups that work do not close the breaker of a forecast that does not', async () => {
    world.stub.mood = status(500);
    for (let i = 0; i < 40; i++)
      await errorOf(
        world.sources['us-grid'].fetchWeather({ ...ames, latitudeDeg: 35 + i / 10 }, from('2026-06-15', 3)),
      );
    expect(world.stub.lookUps).toHaveLength(40);
    expect(world.stub.hits).toHaveLength(5);
  });

  test('a place that it has no cell for is outside, and nothing else is asked', async () => {
    world.stub.pointsMood = status(404, {}, { title: 'Data Unavailable For Requested Point', detail: 'no grid there' });
    const error = await errorOf(ask());
    expect(error.code).toBe('source-outside');
    expect(error.message).toContain('no grid there');
    expect(world.stub.hits).toHaveLength(0);
  });

  test.each([
    ['../../admin', 1, 1],
    ['DMX', -1, 1],
    ['DMX', 1.5, 1],
    ['D/X', 1, 1],
  ])('a cell called %s/%d,%d goes into no address', async (gridId, gridX, gridY) => {
    world.stub.pointsMood = changed(() => ({ properties: { gridId, gridX, gridY } }));
    expect((await errorOf(ask())).code).toBe('source-malformed');
    expect(world.stub.hits).toHaveLength(0);
  });

  test('a forecast that the source repeats for days is stale, though it was given just now', async () => {
    await ask();
    world.clock.forward(3 * 86_400_000);
    world.stub.mood = (response) => void response.writeHead(304).end();
    const { stale } = await world.sources['us-grid'].fetchWeather(ames, from(isoDate(world.today + 3), 3));
    expect(stale).toBe(true);
  });
});

describe('history', () => {
  test.each(['power', 'archive', 'ncei'] as const)('%s: leap days and whole years, day after day', async (id) => {
    const { weather } = await world.sources[id].fetchWeather(ames, from('2023-12-31', 367), 'USC00130200');
    expect(weather.tempMaxC).toHaveLength(367);
    expect(weather.tempMaxC[60]).toBe(weatherOf('2024-02-29').maxC);
    expect(weather.tempMaxC[366]).toBe(weatherOf('2024-12-31').maxC);
  });

  test.each([
    ['power', '1980-12-31', '1981-01-01'],
    ['archive', '1939-12-31', '1940-01-01'],
    ['ncei', '1899-12-31', '1900-01-01'],
  ] as const)('%s: nothing of %s, but of %s', async (id, before, first) => {
    const { fetchWeather } = world.sources[id];
    expect((await errorOf(fetchWeather(ames, from(before, 1), 'USC00130200'))).code).toBe('source-outside');
    expect(world.stub.hits).toHaveLength(0);
    expect((await fetchWeather(ames, from(before, 3), 'USC00130200')).weather.startDate).toBe(first);
  });

  test.each(['power', 'archive', 'ncei'] as const)('%s: days up to yesterday at the place, not today', async (id) => {
    // 03:00 UTC on the 16th is still the 15th in Iowa.
    await start('2026-06-16T03:00:00Z');
    const { weather } = await world.sources[id].fetchWeather(ames, from('2026-06-10', 30), 'USC00130200');
    expect(weather.tempMaxC).toHaveLength(5);
  });

  test('power: fill values are missing, in the last days as in any', async () => {
    world.stub.mood = changed((body: ReturnType<typeof powerBody>) => {
      const { T2M_MAX, ALLSKY_SFC_SW_DWN } = body.properties.parameter;
      T2M_MAX['20260605'] = -999;
      for (const date of ['20260608', '20260609']) ALLSKY_SFC_SW_DWN[date] = -999;
      return body;
    });
    const { weather } = await world.sources.power.fetchWeather(ames, from('2026-06-01', 9));
    expect(weather.tempMaxC.map((value) => value === null).indexOf(true)).toBe(4);
    expect(weather.solarMjPerM2?.slice(6)).toEqual([weatherOf('2026-06-07').solarMjPerM2, null, null]);
    expect(JSON.stringify(weather)).not.toContain('-999');
  });

  test('ncei: absent keys, empty texts and values that failed its checks are missing', async () => {
    world.stub.mood = changed((rows: NceiRow[]) =>
      rows
        .filter((_, i) => i !== 3)
        .map(({ TMAX = '', PRCP = '', ...row }, i) => ({
          ...row,
          ...(i === 0 ? {} : { TMAX: i === 1 ? ' ' : TMAX }),
          PRCP: `   ${PRCP}`,
          PRCP_ATTRIBUTES: i === 2 ? ',I,7,0700' : 'T,,7,0700',
        })),
    );
    const { weather } = await world.sources.ncei.fetchWeather(ames, from('2026-06-01', 6), 'USC00130200');
    expect(weather.tempMaxC.map((value) => value === null)).toEqual([true, true, false, true, false, false]);
    expect(weather.rainMm.map((value) => value === null)).toEqual([false, false, true, true, false, false]);
    // A trace is 0.05 mm, as in a file of the archive.
    expect(weather.rainMm[0]).toBe(0.05);
  });

  test.each([
    ['the row of another station', (rows: NceiRow[]) => rows.map((row) => ({ ...row, STATION: 'USC00130201' }))],
    ['a day twice', (rows: NceiRow[]) => [...rows, rows[0]]],
    ['a word for a number', (rows: NceiRow[]) => rows.map((row) => ({ ...row, TMAX: 'M' }))],
    ['tenths of degrees', (rows: NceiRow[]) => rows.map((row) => ({ ...row, TMAX: String(10 * Number(row.TMAX)) }))],
  ])('ncei: %s is malformed', async (_, change) => {
    world.stub.mood = changed(change);
    expect((await errorOf(world.sources.ncei.fetchWeather(ames, from('2026-06-01', 6), 'USC00130200'))).code).toBe(
      'source-malformed',
    );
  });

  test('ncei: an empty list is a station without these days', async () => {
    world.stub.mood = text('[]', 'application/json');
    expect((await errorOf(world.sources.ncei.fetchWeather(ames, from('2026-06-01', 6), 'USC00130200'))).code).toBe(
      'source-outside',
    );
  });

  test('ncei: an empty list in between takes nothing away: what it gave before stands in, as often as it is asked', async () => {
    const ask = () => world.sources.ncei.fetchWeather(ames, from('2026-06-01', 6), 'USC00130200');
    const before = await ask();
    world.stub.mood = text('[]', 'application/json');
    for (let n = 0; n < 2; n++) expect(await ask()).toEqual({ ...before, stale: true });
  });

  test.each([
    undefined,
    '',
    'USC0013020',
    'usc00130200',
    'USC00130200&units=standard',
    '../../../etc',
    'USC00130200,USC00130201',
  ])('ncei: station %s goes into no address', async (station) => {
    expect((await errorOf(world.sources.ncei.fetchWeather(ames, from('2026-06-01', 6), station))).code).toBe(
      'source-outside',
    );
    expect(world.stub.hits).toHaveLength(0);
  });

  test('what came in several answers stands in together when the source is down', async () => {
    const { fetchWeather } = world.sources.archive;
    await fetchWeather(ames, from('2025-01-01', 365));
    await fetchWeather(ames, from('2026-01-01', 100));
    world.stub.mood = status(500);
    const { weather, stale } = await fetchWeather(ames, from('2025-12-01', 60));
    expect(stale).toBe(true);
    expect(weather.tempMaxC).toHaveLength(60);
    expect(weather.tempMaxC).not.toContain(null);
    expect((await errorOf(fetchWeather(ames, from('2024-01-01', 10)))).code).toBe('source-unavailable');
  });
});

describe('places', () => {
  test.each([
    ['the poles and the date line', 90, 180],
    ['the other ones', -90, -180],
    ['where both are 0', -0.0001, 0.0001],
  ])('%s have weather', async (_, latitudeDeg, longitudeDeg) => {
    const site = { ...ames, latitudeDeg, longitudeDeg };
    const { weather } = await world.sources.power.fetchWeather(site, from('2026-06-01', 3));
    expect(weather.tempMaxC).toHaveLength(3);
    await world.sources.global.fetchWeather(site, from('2026-06-15', 3));
    expect(world.stub.hits.map(({ path }) => path).join()).not.toContain('-0&');
  });

  test.each(['power', 'archive', 'global'] as const)('%s: the weather of another place is malformed', async (id) => {
    world.stub.mood = changed((body: { latitude?: number; geometry?: { coordinates: number[] } }) =>
      body.geometry === undefined
        ? { ...body, latitude: (body.latitude ?? 0) + 5 }
        : { ...body, geometry: { coordinates: [body.geometry.coordinates[0], 10] } },
    );
    const span = id === 'global' ? from('2026-06-15', 3) : from('2026-06-01', 3);
    expect((await errorOf(world.sources[id].fetchWeather(ames, span))).code).toBe('source-malformed');
  });

  test('a place east of the date line and one west of it have their own today', async () => {
    await start('2026-06-15T11:00:00Z');
    for (const [timeZone, today] of [
      ['Pacific/Kiritimati', '2026-06-16'],
      ['Pacific/Pago_Pago', '2026-06-15'],
    ] as const) {
      const { weather } = await world.sources.global.fetchWeather({ ...ames, timeZone }, from('2026-06-14', 5));
      expect(weather.forecastFrom).toBe(today);
    }
  });

  type Daily = { time: (string | undefined)[]; temperature_2m_max: number[] };
  test.each([
    ['a column shorter than the others', (daily: Daily) => daily.temperature_2m_max.pop()],
    ['a date left out', (daily: Daily) => daily.time.splice(3, 1)],
    ['a date twice', (daily: Daily) => daily.time.splice(3, 1, daily.time[2])],
  ])('global: %s is malformed', async (_, change) => {
    world.stub.mood = changed((body: { daily: Daily }) => {
      change(body.daily);
      return body;
    });
    expect((await errorOf(world.sources.global.fetchWeather(ames, from('2026-06-15', 3)))).code).toBe(
      'source-malformed',
    );
  });

  // Shapes of refusals: POWER as in github.com/ajwdewit/pcse_notebooks, issue 37; a list of faults as its framework makes them, from memory.
  test.each([
    [{ messages: ['Please supply a different user name.'] }, 'HTTP 422 ["Please supply a different user name."]'],
    [{ detail: [{ loc: ['query', 'end'], msg: 'too late' }] }, 'HTTP 422 [{"loc":["query","end"],"msg":"too late"}]'],
  ])('power: the reason of a refusal reaches the caller: %j', async (body, given) => {
    world.stub.mood = status(422, {}, body);
    const error = await errorOf(world.sources.power.fetchWeather(ames, from('2026-06-01', 3)));
    expect(error.problems[0]).toMatchObject({ code: 'source-outside', given });
  });

  // What Open-Meteo says at a limit is from memory.
  test.each([
    [
      JSON.stringify({ error: true, reason: 'Daily API request limit exceeded.' }),
      'HTTP 429 Daily API request limit exceeded.',
    ],
    ['<html>wait</html>', 'HTTP 429'],
  ])('why a source is not to be had is told, a page of its server is not: %s', async (body, given) => {
    world.stub.mood = (response) => void response.writeHead(429).end(body);
    const [problem] = (await errorOf(world.sources.global.fetchWeather(ames, from('2026-06-15', 3)))).problems;
    expect(problem).toMatchObject({ code: 'source-unavailable', given });
  });

  test('the reason that a source gives reaches the caller, short and plain', async () => {
    world.stub.mood = inTurn(status(400, {}, { error: true, reason: `bad\u0007\n${'x'.repeat(500)}` }), well());
    const [problem] = (await errorOf(world.sources.global.fetchWeather(ames, from('2026-06-15', 3)))).problems;
    expect(problem?.given).toMatch(/^HTTP 400 bad x+\.\.\.$/);
    expect(problem?.given.length).toBeLessThanOrEqual(160);
  });
});

describe('an answer that no thread is free to read', () => {
  const full = () => whitethreadError([{ code: 'overloaded', where: 'server', given: 'one more', allowed: 'none' }]);
  const days = from('2026-06-01', 9);

  test('is no fault of the source: it is asked on, and the last good answer stands in', async () => {
    let isFull = false;
    await world.stub.close();
    const read: DaysOf = (wanted, bytes) => {
      if (isFull) throw full();
      return daysOf(wanted, bytes);
    };
    world = await weatherWorld(undefined, {}, { days: read });
    world.stub.mood = changed((body) => body);
    const good = await world.sources.power.fetchWeather(ames, days);
    isFull = true;
    for (let n = 0; n < 7; n++)
      expect(await world.sources.power.fetchWeather(ames, days)).toEqual({ ...good, stale: true });
    expect((await errorOf(world.make().power.fetchWeather(ames, days))).code).toBe('overloaded');
    isFull = false;
    expect((await world.sources.power.fetchWeather(ames, days)).stale).toBe(false);
    expect(world.stub.hits).toHaveLength(10);
  });
});

describe('configuration', () => {
  test.each(['', 'a b', 'me@farm.example\r\nX-Other: 1', '(x)'])('contact %j is none', async (userAgentContact) => {
    expect((await errorOf((async () => liveSources({ userAgentContact }))())).code).toBe('invalid-input');
  });

  test.each(['ftp://weather.example', 'weather.example', '/etc'])('base address %s is none', async (power) => {
    const make = async () => liveSources({ userAgentContact: 'me@farm.example', bases: { power } });
    expect((await errorOf(make())).code).toBe('invalid-input');
  });
});
