import { createServer } from 'node:net';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { limitProblems } from '../../src/core/weather/qualityLimits.ts';
import { dailyWeather, type Site } from '../../src/core/weather/schema.ts';
import type { LiveSource, SourceId, Span } from '../../src/sources/live/contract.ts';
import { weatherOf } from '../support/weatherShapes.ts';
import {
  changed,
  cutBody,
  huge,
  inTurn,
  type Mood,
  silent,
  status,
  text,
  well,
  zipBomb,
  zipped,
} from '../support/weatherStub.ts';
import { ames, errorOf, type WeatherWorld, weatherWorld } from '../support/weatherWorld.ts';

type Change = (body: never) => unknown;

/** A source and what is wrong or missing in its own shape. */
export type Candidate = {
  readonly id: SourceId;
  readonly station?: string;
  /** First and last day to ask for, counted from today. */
  readonly days: readonly [number, number];
  readonly faults: {
    /** Everything in Fahrenheit and inches, and the reply says so; null where replies name no units. */
    readonly usUnits: Change | null;
    readonly unknownUnit: Change | null;
    readonly negativeRain: Change;
    readonly enormous: Change;
    readonly otherDates: Change;
    readonly noTemperatures: Change;
    /** The third day asked for has no rain. */
    readonly rainGap: Change;
  };
};

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/** What every live source must do, whatever its shape. */
export const liveSourceSuite = ({ id, station, days, faults }: Candidate): void => {
  describe(`live source ${id}`, () => {
    let world: WeatherWorld;
    let source: LiveSource;
    let span: Span;
    const ask = (site: Site = ames) => source.fetchWeather(site, span, station);
    const fresh = async () => {
      world = await weatherWorld();
      source = world.sources[id];
      span = { from: world.today + days[0], to: world.today + days[1] };
    };
    beforeEach(fresh);
    afterEach(() => world.stub.close());

    test('gives the days asked for, in our units, with credit and time', async () => {
      const { weather, attribution, fetchedAtMs, stale } = await ask();
      expect(dailyWeather.safeParse(weather).success).toBe(true);
      expect(limitProblems(weather)).toEqual([]);
      expect(weather.startDate).toBe(isoDate(span.from));
      expect(weather.tempMaxC).toHaveLength(span.to - span.from + 1);
      const dates = weather.tempMaxC.map((_, i) => isoDate(span.from + i));
      expect(weather.tempMaxC).toEqual(dates.map((date) => weatherOf(date).maxC));
      expect(weather.tempMinC).toEqual(dates.map((date) => weatherOf(date).minC));
      for (const [i, rain] of weather.rainMm.entries())
        if (rain !== null) expect(rain).toBeCloseTo(weatherOf(dates[i] as string).rainMm, 9);
      expect(stale).toBe(false);
      expect(Math.abs(fetchedAtMs - world.clock.nowMs())).toBeLessThan(5_000);
      for (const said of Object.values(attribution)) expect(said.length).toBeGreaterThan(5);
      expect(attribution).toEqual(source.attribution);
      expect(source.id).toBe(id);
    });

    test('says which days are forecast', async () => {
      const { weather } = await ask();
      if (source.gives === 'observed') expect(weather.forecastFrom).toBeUndefined();
      else expect(dayNumber(weather.forecastFrom as string)).toBe(world.today);
    });

    test('names itself and whom to write to, and asks for no more than 4 decimals', async () => {
      await ask({ ...ames, latitudeDeg: 42.123456789, longitudeDeg: -93.987654321 });
      const { headers, path } = world.stub.hits[0] as (typeof world.stub.hits)[number];
      expect(headers['user-agent']).toMatch(/^whitethread\/\d+\.\d+\.\d+ \(weather@farm\.example\)$/);
      expect(`${path} ${world.stub.lookUps.join(' ')}`).not.toMatch(/\d\.\d{5}/);
    });

    test('150 questions about one place at once are one call', async () => {
      const answers = await Promise.all(Array.from({ length: 150 }, () => ask()));
      expect(world.stub.hits).toHaveLength(1);
      expect(new Set(answers.map(({ weather }) => JSON.stringify(weather))).size).toBe(1);
    });

    test('asks again only when the answer no longer holds, and then on condition: 304 makes it fresh', async () => {
      world.stub.mood = well({ 'cache-control': 'max-age=600' });
      const first = await ask();
      world.clock.forward(9 * MINUTE_MS);
      expect((await ask()).fetchedAtMs).toBe(first.fetchedAtMs);
      expect(world.stub.hits).toHaveLength(1);
      world.clock.forward(2 * MINUTE_MS);
      const later = await ask();
      expect(world.stub.hits).toHaveLength(2);
      expect(world.stub.hits[1]?.headers['if-none-match']).toMatch(/^".+"$/);
      expect(later.weather).toEqual(first.weather);
      expect(later.stale).toBe(false);
      expect(later.fetchedAtMs - first.fetchedAtMs).toBeGreaterThanOrEqual(11 * MINUTE_MS);
      await ask();
      expect(world.stub.hits).toHaveLength(2);
    });

    test('a zipped answer is read', async () => {
      world.stub.mood = zipped;
      expect((await ask()).weather.startDate).toBe(isoDate(span.from));
    });

    test('unknown rain stays unknown, never zero', async () => {
      world.stub.mood = changed(faults.rainGap);
      const { weather } = await ask();
      expect(weather.rainMm[2]).toBeNull();
      expect(weather.tempMaxC[2]).not.toBeNull();
    });

    const { usUnits } = faults;
    if (usUnits !== null)
      test('US units that the reply names are converted', async () => {
        world.stub.mood = changed(usUnits);
        const { weather } = await ask();
        expect(weather.tempMaxC[0]).toBeCloseTo(weatherOf(isoDate(span.from)).maxC, 6);
        const wet = weather.rainMm.findIndex((rain) => rain !== null && rain > 0);
        expect(weather.rainMm[wet]).toBeCloseTo(6, 6);
      });

    const malformed: (readonly [string, Mood])[] = [
      ['HTML', text('<html>We will be back soon</html>')],
      ['a number that JSON does not know', text('{"properties": NaN}', 'application/json')],
      ['JSON of another shape', text('{"ok":true}', 'application/json')],
      ['negative rain', changed(faults.negativeRain)],
      ['1e308 degrees', changed(faults.enormous)],
      ['days far off', changed(faults.otherDates)],
      ['6 MiB', huge],
      ['64 MiB zipped small', zipBomb],
      ['another unit', faults.unknownUnit === null ? text('[') : changed(faults.unknownUnit)],
    ];
    test.each(malformed)('%s is refused, once, and the last good answer stands in', async (_, mood) => {
      world.stub.mood = mood;
      expect((await errorOf(ask())).code).toBe('source-malformed');
      expect(world.stub.hits).toHaveLength(1);
      world.stub.mood = well();
      const good = await ask();
      world.stub.mood = mood;
      const stale = await ask();
      expect(stale).toEqual({ ...good, stale: true });
    });

    test.each([
      ['403', status(403), 'source-unavailable', 1],
      ['500', status(500), 'source-unavailable', 4],
      ['a body cut in the middle', cutBody, 'source-unavailable', 4],
      ['400', status(400), 'source-outside', 1],
      ['404', status(404), 'source-outside', 1],
    ] as const)('%s: tried no more than it helps, then %s', async (_, mood, code, calls) => {
      world.stub.mood = mood;
      const error = await errorOf(ask());
      expect(error.code).toBe(code);
      expect(error.message).not.toContain('127.0.0.1');
      expect(world.stub.hits).toHaveLength(calls);
    });

    test('a slip is mended by asking again', async () => {
      world.stub.mood = inTurn(status(503), cutBody, well());
      expect((await ask()).stale).toBe(false);
      expect(world.stub.hits).toHaveLength(3);
    });

    test('429: not a call before the time that it asked for, stale until then', async () => {
      const good = await ask();
      world.stub.mood = inTurn(status(429, { 'retry-after': '1800' }), well());
      expect(await ask()).toEqual({ ...good, stale: true });
      world.clock.forward(29 * MINUTE_MS);
      expect((await ask()).stale).toBe(true);
      expect(world.stub.hits).toHaveLength(2);
      world.clock.forward(2 * MINUTE_MS);
      expect((await ask()).stale).toBe(false);
      expect(world.stub.hits).toHaveLength(3);
    });

    test('a redirect within the source is followed, one to another host never', async () => {
      let reached = 0;
      const canary = createServer((socket) => {
        reached++;
        socket.destroy();
      });
      await new Promise<void>((resolve) => canary.listen(0, '127.0.0.1', resolve));
      const { port } = canary.address() as { port: number };
      for (const host of [
        `127.0.0.1:${port}`,
        `localhost:${port}`,
        `[::ffff:127.0.0.1]:${port}`,
        `2130706433:${port}`,
      ]) {
        await world.stub.close();
        await fresh();
        world.stub.mood = (response) => void response.writeHead(302, { location: `http://${host}/v1/forecast` }).end();
        expect((await errorOf(ask())).code).toBe('source-malformed');
      }
      expect(reached).toBe(0);
      await new Promise((resolve) => canary.close(resolve));
      const goOn: Mood = (response, _, { url }) =>
        void response.writeHead(301, { location: `${url}${url?.includes('?') ? '&' : '?'}moved=1` }).end();
      await world.stub.close();
      await fresh();
      world.stub.mood = inTurn(goOn, well());
      expect((await ask()).stale).toBe(false);
    });

    test('down: 5 failures open the breaker, then one probe a minute; the last good answer comes at once', async () => {
      const good = await ask();
      const before = world.stub.hits.length;
      const calls = () => world.stub.hits.length - before;
      world.stub.mood = status(500);
      await ask();
      expect(calls()).toBe(4);
      await ask();
      expect(calls()).toBe(5);
      const stale = await ask();
      expect(stale).toEqual({ ...good, stale: true });
      // Nobody waits for it: it is not asked.
      expect(calls()).toBe(5);
      world.clock.forward(59_000);
      await ask();
      expect(calls()).toBe(5);
      world.clock.forward(1_500);
      await Promise.all([ask(), ask(), ask()]);
      expect(calls()).toBe(6);
      world.clock.forward(61_000);
      world.stub.mood = well();
      expect((await ask()).stale).toBe(false);
      expect((await ask()).stale).toBe(false);
    });

    test('a day of silence: the same place a day later still finds what was given', async () => {
      const good = await ask();
      world.stub.mood = status(500);
      world.clock.forward(24 * HOUR_MS);
      span = { from: span.from + 1, to: span.to + 1 };
      const stale = await ask();
      expect(stale.stale).toBe(true);
      expect(stale.fetchedAtMs).toBe(good.fetchedAtMs);
      expect(stale.weather.tempMaxC.slice(0, 3)).toEqual(good.weather.tempMaxC.slice(1, 4));
    });

    test('no temperature of any day is no weather', async () => {
      world.stub.mood = changed(faults.noTemperatures);
      expect((await errorOf(ask())).code).toBe('source-outside');
    });

    test('slow: the caller waits no longer than all in all is allowed', async () => {
      const { stub } = world;
      world = await weatherWorld('2026-06-15T15:00:00Z', { totalMs: 300 });
      await stub.close();
      source = world.sources[id];
      world.stub.mood = silent;
      const startedMs = performance.now();
      expect((await errorOf(ask())).code).toBe('source-unavailable');
      // Of its usual ten seconds nothing is left over.
      expect(performance.now() - startedMs).toBeLessThan(5_000);
    });

    test.each([
      [5, 4],
      [0.5, 3],
      [Number.NaN, 3],
      [0, 1e9],
    ])('days %d to %d from today are no span', async (from, to) => {
      const error = await errorOf(
        source.fetchWeather(ames, { from: world.today + from, to: world.today + to }, station),
      );
      expect(error.code).toBe('source-outside');
      expect(world.stub.hits).toHaveLength(0);
    });

    test('sixty-one years are too many, and told by their dates', async () => {
      const days = { from: world.today - 61 * 366, to: world.today };
      expect((await errorOf(source.fetchWeather(ames, days, station))).problems).toMatchObject([
        {
          code: 'source-outside',
          given: `${isoDate(days.from)} to ${isoDate(days.to)}`,
          allowed: expect.stringContaining('60 years'),
        },
      ]);
      expect(world.stub.hits).toHaveLength(0);
    });
  });
};
