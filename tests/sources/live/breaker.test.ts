import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Breaker, called, closedBreaker, failed, mayCall, succeeded } from '../../../src/sources/live/breaker.ts';

const failedAt = (...times: number[]): Breaker => times.reduce((breaker, at) => failed(breaker, at, 0), closedBreaker);

describe('circuit breaker', () => {
  test('4 failures in a minute leave it closed, the fifth opens it', () => {
    expect(mayCall(failedAt(0, 1, 2, 3), 4)).toBe(true);
    expect(mayCall(failedAt(0, 1, 2, 3, 4), 5)).toBe(false);
  });

  test('5 failures over more than a minute leave it closed', () => {
    expect(mayCall(failedAt(0, 20_000, 40_000, 50_000, 60_001), 60_002)).toBe(true);
    expect(mayCall(failedAt(0, 20_000, 40_000, 50_000, 59_999), 60_000)).toBe(false);
  });

  test('successes between do not hide a flapping source', () => {
    const flapping = [0, 10, 20, 30].reduce((breaker, at) => succeeded(failed(breaker, at, 0)), closedBreaker);
    expect(mayCall(flapping, 40)).toBe(true);
    expect(mayCall(failed(flapping, 40, 0), 41)).toBe(false);
  });

  test('open: a probe after 60 s, the next not before another 60 s, closed by one that succeeds', () => {
    const open = failedAt(0, 1, 2, 3, 4);
    expect(mayCall(open, 60_003)).toBe(false);
    expect(mayCall(open, 60_004)).toBe(true);
    const probing = called(open, 60_004);
    expect(mayCall(probing, 60_005)).toBe(false);
    const again = failed(probing, 61_000, 0);
    expect(mayCall(again, 120_003)).toBe(false);
    expect(mayCall(again, 120_004)).toBe(true);
    expect(succeeded(again)).toEqual(closedBreaker);
  });

  test('a clock that is put back does not hold it until then', () => {
    const year = 365 * 86_400_000;
    expect(mayCall(failedAt(year, year, year, year, year), 0)).toBe(true);
    expect(mayCall(failed(closedBreaker, year, 5_000), 0)).toBe(true);
    expect(mayCall(failed(failedAt(year, year, year, year), 0, 0), 1)).toBe(true);
  });

  test('Retry-After holds it, an hour at most', () => {
    expect(mayCall(failed(closedBreaker, 0, 5_000), 4_999)).toBe(false);
    expect(mayCall(failed(closedBreaker, 0, 5_000), 5_000)).toBe(true);
    expect(mayCall(failed(closedBreaker, 0, Number.MAX_SAFE_INTEGER), 3_600_000)).toBe(true);
  });

  test('of a source that always fails: never 2 calls within a minute once open, whenever it is asked', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 30_000 }), { minLength: 20, maxLength: 200 }), (gaps) => {
        let breaker = closedBreaker;
        let now = 0;
        const calls: number[] = [];
        for (const gap of gaps) {
          now += gap;
          if (!mayCall(breaker, now)) continue;
          const wasOpen = breaker.probeAtMs !== null;
          if (wasOpen) expect(now - (calls.at(-1) as number)).toBeGreaterThanOrEqual(60_000);
          calls.push(now);
          breaker = failed(called(breaker, now), now, 0);
        }
        const crowded = calls.filter((at) => calls.filter((other) => other > at - 60_000 && other <= at).length > 5);
        expect(crowded).toEqual([]);
      }),
    );
  });
});
