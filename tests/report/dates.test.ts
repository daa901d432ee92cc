import { expect, test } from 'vitest';
import { bandText, clockText, longDateText, spanText, weekdayText } from '../../src/report/dates.ts';
import { dateAt, instantText } from '../../src/service/zone.ts';

test('a date is given with the days between which it may fall', () => {
  expect(bandText({ date: '2026-05-12', earliest: '2026-05-07', latest: '2026-05-17' })).toBe('12 May (7 to 17 May)');
  expect(bandText({ date: '2026-05-02', earliest: '2026-04-27', latest: '2026-05-07' })).toBe(
    '2 May (27 Apr to 7 May)',
  );
});

test('a span over New Year names both months', () => {
  expect(spanText('2026-12-30', '2027-01-02')).toBe('30 Dec to 2 Jan');
  expect(spanText('2025-05-30', '2026-05-02')).toBe('30 May to 2 May');
});

test('weekdays: 15 May 2026 is a Friday', () => {
  expect(weekdayText('2026-05-15')).toBe('Fri 15 May');
  expect(longDateText('2026-05-15')).toBe('Fri 15 May 2026');
});

test('an instant is written in the zone of the site, on the hour that DST skips too', () => {
  expect(instantText(Date.UTC(2026, 2, 8, 8, 30), 'America/Chicago')).toBe('2026-03-08T03:30:00-05:00');
  expect(instantText(Date.UTC(2026, 2, 8, 7, 30), 'America/Chicago')).toBe('2026-03-08T01:30:00-06:00');
  expect(clockText('2026-03-08T03:30:00-05:00')).toBe('03:30');
});

test('the date of an instant is the zone’s own', () => {
  expect(dateAt(Date.UTC(2026, 4, 15, 3), 'America/Chicago')).toBe('2026-05-14');
  expect(dateAt(Date.UTC(2026, 4, 15, 13), 'Pacific/Kiritimati')).toBe('2026-05-16');
});
