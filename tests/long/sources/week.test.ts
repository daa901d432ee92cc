import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { SourceId } from '../../../src/sources/live/contract.ts';
import { cutBody, inTurn, type Mood, silent, status, text, well } from '../../support/weatherStub.ts';
import { ames, errorOf, type WeatherWorld, weatherWorld } from '../../support/weatherWorld.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const WEEK_HOURS = 7 * 24;
const STATION = 'USC00130200';

/** Every other call fails. */
const flapping = (): Mood => {
  const moods = [status(500), well()];
  let i = 0;
  return (...call) => (moods[i++ % 2] as Mood)(...call);
};

const troubles: readonly (readonly [string, () => Mood])[] = [
  ['down', () => status(500)],
  ['forbidden', () => status(403)],
  ['throttled', () => status(429)],
  ['malformed', () => text('<html>maintenance</html>')],
  ['truncated', () => cutBody],
];

const ids: readonly SourceId[] = ['power', 'ncei', 'archive', 'us-grid', 'global'];

describe.each(ids)('a week of trouble with %s', (id) => {
  let world: WeatherWorld;
  beforeEach(async () => {
    // Time enough for a busy machine; only a source that says nothing takes all of it.
    world = await weatherWorld('2026-06-08T15:00:00Z', { firstWaitMs: 0, totalMs: 5000 });
  });
  afterEach(() => world.stub.close());

  const span = () =>
    id === 'us-grid' || id === 'global'
      ? { from: world.today, to: world.today + 7 }
      : { from: world.today - 30, to: world.today - 6 };
  const read = () => world.sources[id].fetchWeather(ames, span(), STATION);

  /** When the source was called, from one call on. */
  const callsFrom = (hit: number): number[] => world.stub.hits.slice(hit).map(({ atMs }) => atMs);

  test.each(troubles)('%s: every read answers, stale, with its age; one probe a minute at most', async (_, mood) => {
    const good = await read();
    world.clock.forward(HOUR_MS);
    world.stub.mood = mood();
    const before = world.stub.hits.length;
    for (let hour = 1; hour <= WEEK_HOURS; hour++) {
      for (let i = 0; i < 5; i++) {
        const answer = await read();
        expect(answer).toEqual({ ...good, stale: true });
        expect(world.clock.nowMs() - answer.fetchedAtMs).toBeGreaterThanOrEqual(hour * HOUR_MS);
      }
      // Nobody waits for a source that is known to be down: it is not asked.
      const asked = world.stub.hits.length;
      await read();
      expect(world.stub.hits.length).toBe(asked);
      world.clock.forward(HOUR_MS);
    }
    // Five calls to learn that it is down in the first hour, then one an hour.
    const calls = callsFrom(before);
    expect(calls.length).toBe(5 + WEEK_HOURS - 1);
    for (const [i, at] of calls.entries())
      if (i >= 5) expect(at - (calls[i - 1] as number)).toBeGreaterThanOrEqual(MINUTE_MS);
    world.stub.mood = well();
    expect((await read()).stale).toBe(false);
  });

  test('asked every 5 s for an hour while down: 5 calls, then one a minute', async () => {
    await read();
    world.clock.forward(HOUR_MS);
    world.stub.mood = status(500);
    const before = world.stub.hits.length;
    for (let second = 0; second < 3600; second += 5) {
      expect((await read()).stale).toBe(true);
      world.clock.forward(5_000);
    }
    const times = callsFrom(before);
    expect(times.length).toBeGreaterThan(50);
    expect(times.length).toBeLessThanOrEqual(5 + 60);
    for (const [i, at] of times.entries())
      if (i >= 5) expect(at - (times[i - 1] as number)).toBeGreaterThanOrEqual(MINUTE_MS);
  });

  test('flapping: every read answers, fresh ones among them', async () => {
    await read();
    world.stub.mood = flapping();
    let fresh = 0;
    for (let hour = 1; hour <= WEEK_HOURS; hour++) {
      world.clock.forward(HOUR_MS);
      const { stale, weather } = await read();
      if (!stale) fresh++;
      expect(weather.tempMaxC.length).toBeGreaterThan(0);
    }
    expect(fresh).toBe(WEEK_HOURS);
  });

  test('slow: every read answers; while the breaker is open none waits, as the source is not asked', async () => {
    await world.stub.close();
    world = await weatherWorld('2026-06-08T15:00:00Z', { firstWaitMs: 0, totalMs: 200 });
    const good = await read();
    world.clock.forward(HOUR_MS);
    world.stub.mood = silent;
    const before = world.stub.hits.length;
    let waited = 0;
    for (let second = 0; second < 120; second += 4) {
      const asked = world.stub.hits.length;
      expect(await read()).toEqual({ ...good, stale: true });
      if (world.stub.hits.length > asked) waited++;
      world.clock.forward(4_000);
    }
    expect(world.stub.hits.length - before).toBeLessThanOrEqual(5 + 2);
    expect(waited).toBeLessThanOrEqual(5 + 2);
  });

  test('nothing was ever kept: every read says so, and the source is spared just the same', async () => {
    world.stub.mood = inTurn(status(500), text('no'), status(503));
    for (let hour = 1; hour <= WEEK_HOURS; hour++) {
      for (let i = 0; i < 3; i++) expect((await errorOf(read())).code).toMatch(/^source-(unavailable|malformed)$/);
      world.clock.forward(HOUR_MS);
    }
    expect(world.stub.hits.length).toBe(5 + WEEK_HOURS - 1);
  });
});
