import { expect, test } from 'vitest';
import { bandText, clockText, longDateText, spanText, weekdayText } from '../../src/report/dates.ts';
import { dateAt, instantText } from '../../src/service/zone.ts';

const near = '2026-04-30';

test('a date is given with the days between which it may fall', () => {
  expect(bandText({ date: '2026-05-12', earliest: '2026-05-07', latest: '2026-05-17' }, near)).toBe(
    '12 May (7 to 17 May)',
  );
  expect(bandText({ date: '2026-05-02', earliest: '2026-04-27', latest: '2026-05-07' }, near)).toBe(
    '2 May (27 Apr to 7 May)',
  );
});

test('another year than the one of today is named, once', () => {
  expect(bandText({ date: '2025-10-12', earliest: '2025-10-07', latest: '2025-10-17' }, near)).toBe(
    '12 Oct 2025 (7 to 17 Oct)',
  );
  expect(bandText({ date: '2026-12-28', earliest: '2026-12-20', latest: '2027-01-04' }, near)).toBe(
    '28 Dec (20 Dec to 4 Jan 2027)',
  );
  expect(bandText({ date: '2027-01-02', earliest: '2026-12-28', latest: null }, near)).toBe(
    '2 Jan 2027 (28 Dec 2026 or later)',
  );
});

test('a span over New Year names both months', () => {
  expect(spanText('2026-12-30', '2027-01-02', '2026-12-30')).toBe('30 Dec to 2 Jan 2027');
  expect(spanText('2025-05-30', '2026-05-02', near)).toBe('30 May 2025 to 2 May');
});

test('weekdays: 15 May 2026 is a Friday', () => {
  expect(weekdayText('2026-05-15')).toBe('Fri 15 May');
  expect(longDateText('2026-05-15')).toBe('Fri 15 May 2026');
});

test('an instant is written in the zone of the site, on the hour that DST skips too', () => {
  expect(instantText(Date.UTC(2026, 2, 8, 8, 30), 'America/Chicago')).toBe('2026-03-08T03:30:00-05:00');
  expect(instantText(Date.UTC(2026, 2, 8, 7, 30), 'America/Chicago')).toBe('2026-03-08T01:30:00-06:00');
  expect(clockText('2026-03-08T03:30:00-05:00', '2026-03-08')).toBe('03:30');
  expect(clockText('2026-03-07T23:30:00-05:00', '2026-03-08')).toBe('2026-03-07 23:30');
});

test('the date of an instant is the zone’s own', () => {
  expect(dateAt(Date.UTC(2026, 4, 15, 3), 'America/Chicago')).toBe('2026-05-14');
  expect(dateAt(Date.UTC(2026, 4, 15, 13), 'Pacific/Kiritimati')).toBe('2026-05-16');
});
