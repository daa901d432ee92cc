import { expect, test } from 'vitest';
import { type Closed, closedReasons } from '../../src/core/windows/schema.ts';
import { closedText } from '../../src/report/reasons.ts';

const closed = (
  reason: Closed['reason'],
  given: number | null,
  limit: number | null,
  unit: string,
  detail?: string,
): Closed => ({ reason, given, limit, unit, ...(detail === undefined ? {} : { detail }), crop: 'soybean' });

const rows: readonly [Closed, string][] = [
  [closed('soil-too-wet', 0.31, 0.27, 'm3/m3', '2.5-7.5 cm'), 'soil too wet at 2.5-7.5 cm: 0.31 against 0.27 m3/m3'],
  [
    closed('surface-too-wet', 0.3, 0.25, 'm3/m3', '0-2.5 cm'),
    'surface too wet to crumble at 0-2.5 cm: 0.3 against 0.25 m3/m3',
  ],
  [closed('soil-frozen', -1.2, 0, 'C'), 'soil frozen: lowest -1.2 C at 5 cm, needs above 0 C'],
  [closed('snow-lies', 6, 0, 'mm'), 'snow lies: 6 mm of water, limit 0 mm'],
  [closed('rain-that-day', 4, 1, 'mm'), 'rain 4 mm that day, limit 1 mm'],
  [closed('rain-next-day', 8, 2.5, 'mm'), 'rain 8 mm next day, limit 2.5 mm'],
  [closed('rain-unknown', null, null, '', 'the next day'), 'rain of the next day not yet forecast'],
  [closed('too-cold', 3, 5, 'C'), 'too cold: highest 3 C, needs 5 C'],
  [closed('too-hot', 39, 35, 'C'), 'too hot: highest 39 C, limit 35 C'],
  [closed('too-windy', 9, 4.5, 'm/s'), 'too windy: 9 m/s, limit 4.5 m/s'],
  [closed('no-hours', 0, 2, 'h'), 'too few hours between dew, dark and rain: 0 h, needs 2 h'],
  [closed('no-height-gap', -75, 15, 'cm'), 'the tallest weeds stand 75 cm below the crop, needs 15 cm above it'],
  [closed('no-weeds-in-reach', 0.004, 0.02, '1'), "too few weeds in reach: 0.4 % of the year's seedlings, needs 2 %"],
  [
    closed('no-weeds-in-reach', 0.00499996, 0.005, '1'),
    "too few weeds in reach: 0.499996 % of the year's seedlings, needs 0.5 %",
  ],
  [
    closed('nothing-at-white-thread', 0.004, 0.005, '1'),
    "nothing at white thread: 0.4 % of the year's seedlings there or at cotyledons, needs 0.5 %",
  ],
  [closed('no-height-gap', 2, 15, 'cm'), 'weeds stand 2 cm above the crop, needs 15 cm'],
  [closed('crop-tender', 0, 0.1, 'leaves', 'hook'), 'soybean in the hook'],
  [closed('crop-tender', 0.2, 0.5, 'leaves', 'cotyledons opening'), 'soybean tender: cotyledons opening'],
  [closed('crop-stage', 0.6, 1, 'leaves', 'too early'), 'soybean too early: leaf 0.6, limit leaf 1'],
  [closed('crop-too-short', 5, 8, 'cm'), 'soybean too short in the morning: 5 cm, needs 8 cm'],
  [closed('crop-too-tall', 35, 30, 'cm'), 'soybean too tall: 35 cm, limit 30 cm'],
  [closed('crop-not-listed', null, null, '', 'after emergence'), 'not a tool for soybean after emergence'],
  [closed('crop-not-listed', null, null, ''), 'not a tool for soybean'],
  [closed('no-crop', null, null, ''), 'no crop in the ground'],
  [closed('no-rows', null, null, ''), 'no rows to steer by'],
  [closed('no-rows', null, null, '', 'not up yet'), 'no rows to steer by, soybean not up yet'],
  [closed('rows-too-narrow', 19, 38, 'cm'), 'soybean rows too narrow: 19 cm, needs 38 cm'],
  [closed('shoot-tip-near', 1.5, 3, 'cm'), 'soybean shoot tip 1.5 cm below the surface, needs 3 cm'],
  [
    closed('shoot-tip-near', 0.84, 0.8, '1', 'share of the heat to emergence'),
    'soybean near the surface: 84 % of the heat to emergence, limit 80 %',
  ],
  [closed('seed-too-shallow', 2.5, 3.5, 'cm'), 'soybean seed lies too shallow: 2.5 cm, needs 3.5 cm'],
  [
    closed('passes-used-up', 2, 2, 'passes', 'since it came up'),
    'passes used up in soybean since it came up: 2 made, limit 2',
  ],
  [closed('too-much-residue', 0.5, 0.3, '1'), 'too much residue: 50 % of the ground, limit 30 %'],
  [closed('fire-risk', 0.4, 0.1, '1'), 'dry residue may burn: on 40 % of the ground, limit 10 %'],
];

test.each(rows)('%o', (reason, sentence) => {
  expect(closedText(reason, 'metric')).toBe(sentence);
});

test('every reason of the closed list has a row above', () => {
  expect(new Set(rows.map(([{ reason }]) => reason))).toEqual(new Set(closedReasons));
});

test('in US units, numbers and depths change', () => {
  expect(closedText(closed('rain-next-day', 8, 2.5, 'mm'), 'us')).toBe('rain 0.31 in next day, limit 0.1 in');
  expect(closedText(closed('soil-too-wet', 0.31, 0.27, 'm3/m3', '2.5-7.5 cm'), 'us')).toBe(
    'soil too wet at 1-3 in: 0.31 against 0.27 m3/m3',
  );
});

test('a depth in a sentence of its own is told in inches too', () => {
  expect(closedText(closed('soil-frozen', -1.2, 0, 'C'), 'us')).toBe(
    'soil frozen: lowest 30 F at 2 in, needs above 32 F',
  );
  expect(closedText(closed('crop-too-short', 5, 8, 'cm'), 'us')).toBe(
    'soybean too short in the morning: 2 in, needs 3.1 in',
  );
});

test('over several days the value goes from first to last, once where it does not move', () => {
  const first = closed('crop-too-short', 5, 8, 'cm');
  expect(closedText(first, 'metric', { ...first, given: 7.4 })).toBe(
    'soybean too short in the morning: 5 to 7.4 cm, needs 8 cm',
  );
  const leaf = closed('crop-stage', 0.6, 1, 'leaves', 'too early');
  expect(closedText(leaf, 'metric', { ...leaf, given: 0.9 })).toBe(
    'soybean too early: leaf 0.6 to leaf 0.9, limit leaf 1',
  );
  expect(closedText(first, 'metric', first)).toBe('soybean too short in the morning: 5 cm, needs 8 cm');
});

test('a value that looks like its limit gets one digit more: 0.284 against 0.279', () => {
  const near = closed('soil-too-wet', 0.284, 0.279, 'm3/m3', '2.5-7.5 cm');
  expect(closedText(near, 'metric')).toBe('soil too wet at 2.5-7.5 cm: 0.284 against 0.279 m3/m3');
  const nearer = closed('surface-too-wet', 0.2801, 0.2797, 'm3/m3', '0-2.5 cm');
  expect(closedText(nearer, 'metric')).toMatch(/0\.2801 against 0\.2797/);
  // On the last of several days too.
  const wet = closed('soil-too-wet', 0.31, 0.279, 'm3/m3', '2.5-7.5 cm');
  expect(closedText(wet, 'metric', { ...wet, given: 0.282 })).toMatch(/0\.31 to 0\.282 against 0\.279/);
  const share = closed('too-much-residue', 0.304, 0.3, '1');
  expect(closedText(share, 'metric')).toBe('too much residue: 30.4 % of the ground, limit 30 %');
});
