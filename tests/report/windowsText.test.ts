import { expect, test } from 'vitest';
import { windowsText } from '../../src/report/windowsText.ts';
import type { ShownWindowDay } from '../../src/service/schema.ts';
import { shownDay as day } from '../support/shownDay.ts';

const wet = (given: number): Partial<ShownWindowDay> => ({
  open: false,
  closed: [{ reason: 'rain-that-day', given, limit: 2.5, unit: 'mm' }],
});

test('closed days in a row are told with their lowest and highest value, whichever day has it', () => {
  const days = [17.5, 4.6, 4.8].map((mm, i) => day(`2026-03-${19 + i}`, 'tine-weeder', wet(mm)));
  expect(windowsText(days, 'metric')).toContain('Thu 19 to 21 Mar  closed: rain 4.6 to 17.5 mm that day');
});

test('what closes only some of them comes once too, with its values and limit; another layer is another reason', () => {
  const soil = (given: number, detail: string) =>
    ({ reason: 'soil-too-wet', given, limit: 0.27, unit: 'm3/m3', detail }) as const;
  const late = { reason: 'crop-stage', given: 5, limit: 4, unit: 'leaves', detail: 'too late', crop: 'oats' } as const;
  const days = [
    [late, soil(0.31, '2.5-7.5 cm')],
    [{ ...late, given: 5.4 }, soil(0.29, '2.5-7.5 cm'), soil(0.3, '7.5-15 cm')],
    [{ ...late, given: 5.9 }],
  ].map((closed, i) => day(`2026-03-${19 + i}`, 'tine-weeder', { open: false, closed }));
  expect(windowsText(days, 'metric').replaceAll(/\s+/g, ' ')).toContain(
    'Thu 19 to 21 Mar closed: oats too late: leaf 5 to leaf 5.9, limit leaf 4; on some of these days also soil too wet at 2.5-7.5 cm: 0.29 to 0.31 against 0.27 m3/m3; soil too wet at 7.5-15 cm: 0.3 against 0.27 m3/m3',
  );
});

test('days whose limits differ are not joined', () => {
  const early = (limit: number) =>
    ({ reason: 'crop-stage', given: 0.1, limit, unit: 'leaves', detail: 'too early' }) as const;
  const days = [0.5, 1].map((limit, i) =>
    day(`2026-03-${19 + i}`, 'tine-weeder', { open: false, closed: [early(limit)] }),
  );
  expect(windowsText(days, 'metric')).toMatch(/Thu 19 Mar .*limit leaf 0\.5\n.*Fri 20 Mar .*limit leaf 1$/);
});

test('hours that begin at midday say why', () => {
  const hours = {
    from: '2026-06-06T13:14:00-05:00',
    to: '2026-06-06T19:48:00-05:00',
    count: 6.6,
    after: 'midday',
    until: 'dark',
  } as const;
  expect(windowsText([day('2026-06-06', 'rotary-hoe', { hours })], 'metric')).toContain(
    'From midday on: before it the stems of the crop are turgid and snap.',
  );
});

test('hours that end with the heat say so, those that end with the dark or the dew do not', () => {
  const hours = {
    from: '2026-07-06T08:44:00-05:00',
    to: '2026-07-06T14:22:00-05:00',
    count: 5.6,
    after: 'dew',
  } as const;
  const text = (until: 'dark' | 'dew' | 'heat') =>
    windowsText([day('2026-07-06', 'hand-crew', { hours: { ...hours, until } })], 'metric');
  expect(text('heat')).toContain('08:44 to 14:22, then heat');
  for (const until of ['dark', 'dew'] as const) expect(text(until)).toMatch(/08:44 to 14:22 {2}20 %/);
});

test('what covering costs is told as yield, be it little; what else a pass costs as plants', () => {
  const rows = [{ coverLossFrac: 0.003 }, { coverLossFrac: 0.012 }, { standLossFrac: 0.02 }];
  const text = windowsText(
    rows.map((lost, i) => day(`2026-03-${19 + i}`, 'tine-weeder', lost)),
    'metric',
  );
  expect(text.match(/(<1|1) % yield|2 % /g)).toEqual(['<1 % yield', '1 % yield', '2 % ']);
  const both = windowsText([day('2026-03-19', 'tine-weeder', { standLossFrac: 0.02, coverLossFrac: 0.003 })], 'metric');
  expect(both).toContain('2 %, <1 % yield');
});
