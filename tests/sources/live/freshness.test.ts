import { describe, expect, test } from 'vitest';
import { conditions, validity } from '../../../src/sources/live/freshness.ts';
import { jitterMs, retryAfterMs } from '../../../src/sources/live/retry.ts';

const NOW = Date.parse('2026-06-15T12:00:00Z');
const freshForS = (headers: Record<string, string>) => (validity(headers, NOW, 900_000).freshUntilMs - NOW) / 1000;

describe('how long an answer holds', () => {
  test.each([
    ['max-age', { 'cache-control': 'public, max-age=3600' }, 3600],
    ['max-age goes before Expires', { 'cache-control': 'max-age=60', expires: 'Mon, 15 Jun 2026 13:00:00 GMT' }, 60],
    ['what it aged on the way is gone', { 'cache-control': 'max-age=60', age: '45' }, 15],
    ['older than it may be', { 'cache-control': 'max-age=60', age: '90' }, 0],
    ['s-maxage is for shared caches', { 'cache-control': 's-maxage=5, max-age=60' }, 60],
    ['no-cache', { 'cache-control': 'no-cache, max-age=60' }, 0],
    ['no-store', { 'cache-control': 'no-store' }, 0],
    ['Expires', { expires: 'Mon, 15 Jun 2026 12:30:00 GMT' }, 1800],
    [
      'Expires by the clock of the source, which is an hour behind',
      { expires: 'Mon, 15 Jun 2026 11:30:00 GMT', date: 'Mon, 15 Jun 2026 11:00:00 GMT' },
      1800,
    ],
    ['Expires that is no date', { expires: '0' }, 0],
    ['nothing said: what is usual', {}, 900],
    ['a year said: a day', { 'cache-control': 'max-age=31536000' }, 86_400],
  ])('%s', (_, headers: Record<string, string>, seconds) => {
    expect(freshForS(headers)).toBe(seconds);
  });

  test('a 304 may leave its validators out', () => {
    const first = validity({ etag: '"a"', 'last-modified': 'Mon, 15 Jun 2026 10:00:00 GMT' }, NOW, 0);
    expect(conditions(validity({}, NOW, 0, first))).toEqual({
      'if-none-match': '"a"',
      'if-modified-since': 'Mon, 15 Jun 2026 10:00:00 GMT',
    });
  });
});

describe('when to ask again', () => {
  test('the bound doubles up to 4 s, and the wait may be anything below it', () => {
    expect([1, 2, 3, 4, 5].map((tries) => jitterMs(tries, 500, 1))).toEqual([500, 1000, 2000, 4000, 4000]);
    expect(jitterMs(3, 500, 0)).toBe(0);
  });

  test.each([
    ['120', 120_000],
    ['Mon, 15 Jun 2026 12:00:30 GMT', 30_000],
    ['Mon, 15 Jun 2026 11:00:00 GMT', 0],
    ['soon', null],
    [undefined, null],
  ])('Retry-After: %s', (header, ms) => {
    expect(retryAfterMs(header, NOW)).toBe(ms);
  });
});
