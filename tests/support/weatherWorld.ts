import { dayNumber } from '../../src/core/base/day.ts';
import { isWhitethreadError, type WhitethreadError } from '../../src/core/base/errors.ts';
import type { Site } from '../../src/core/weather/schema.ts';
import type { SourceId } from '../../src/sources/live/contract.ts';
import type { Limits } from '../../src/sources/live/http.ts';
import { liveSources, type SourcesConfig } from '../../src/sources/live/registry.ts';
import { type WeatherStub, weatherStub } from './weatherStub.ts';

export const ames: Site = {
  latitudeDeg: 42.03085,
  longitudeDeg: -93.63191,
  elevationM: 290,
  timeZone: 'America/Chicago',
};

/** A clock that runs like the real one from an instant on and can be put forward. */
export const movableClock = (startsAt: string) => {
  const startedMs = Date.now();
  let forwardMs = 0;
  return {
    nowMs: () => Date.parse(startsAt) + (Date.now() - startedMs) + forwardMs,
    forward: (ms: number) => {
      forwardMs += ms;
    },
  };
};

/** Patience for tests: the waits of the real limits, a hundred times shorter. */
const hasty: Partial<Limits> = { firstWaitMs: 2, totalMs: 3_000, headersMs: 400, bodyMs: 400 };

/** A stub of all services, a clock that both sides go by, and the sources under test. */
export const weatherWorld = async (
  startsAt = '2026-06-15T15:00:00Z',
  limits: Partial<Limits> = {},
  more: Pick<SourcesConfig, 'days' | 'shelf'> = {},
) => {
  const clock = movableClock(startsAt);
  const stub: WeatherStub = await weatherStub(clock.nowMs);
  const ids: SourceId[] = ['power', 'ncei', 'archive', 'us-grid', 'global'];
  /** The sources as a process has them that has just started. */
  const make = (given: typeof more = {}) =>
    liveSources({
      userAgentContact: 'weather@farm.example',
      bases: Object.fromEntries(ids.map((id) => [id, stub.url])),
      nowMs: clock.nowMs,
      random: () => 0.5,
      limits: { ...hasty, ...limits },
      ...more,
      ...given,
    });
  return { clock, stub, sources: make(), make, today: dayNumber(startsAt.slice(0, 10)) };
};
export type WeatherWorld = Awaited<ReturnType<typeof weatherWorld>>;

/** The error of something that must fail, which has to be one of ours. */
export const errorOf = async (work: Promise<unknown>): Promise<WhitethreadError> => {
  try {
    await work;
  } catch (thrown) {
    if (isWhitethreadError(thrown)) return thrown;
    throw thrown;
  }
  throw new Error('it answered');
};
