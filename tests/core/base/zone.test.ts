import fc from 'fast-check';
import { IANAZone } from 'luxon';
import { expect, test } from 'vitest';
import { isTimeZone, zoneOffsetH } from '../../../src/core/base/zone.ts';

const zones = Intl.supportedValuesOf('timeZone');
const ms = (date: string) => Date.parse(`${date}T00:00:00Z`);
/** Luxon counts whole minutes; before the zones were set up, clocks were seconds off. */
const instant = fc.integer({ min: ms('1990-01-01'), max: ms('2100-01-01') });

test('the clocks of all zones of the platform are as far ahead as luxon has them', () => {
  fc.assert(
    fc.property(fc.constantFrom(...zones), instant, (zone, at) => {
      expect(zoneOffsetH(zone, at) * 60).toBeCloseTo(IANAZone.create(zone).offset(at), 9);
    }),
    { numRuns: 500 },
  );
});

test('a name that is no zone is told, also when it is asked again', () => {
  expect(['UTC', 'Etc/GMT+5', 'america/chicago', 'Mars/Base', '', 'Mars/Base'].map(isTimeZone)).toEqual([
    true,
    true,
    true,
    false,
    false,
    false,
  ]);
});
