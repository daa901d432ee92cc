import { describe, expect, it, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { beside, croppingOf, overdue, plantingOn } from '../../src/service/cropping.ts';

const on = dayNumber('2026-05-20');
const planting = (id: string, date: string, endedOn?: string) => ({
  id,
  data: { fieldId: 'a', crop: id, date, ...(endedOn === undefined ? {} : { endedOn }) },
});
const soybean = planting('soybean', '2026-05-05');
const corn = planting('field-corn', '2026-05-24');

const told = (plantings: readonly ReturnType<typeof planting>[], days: number) => {
  const { planting: found, ...rest } = croppingOf(plantings, 'a', on, days);
  return { crop: found?.id, ...rest };
};

test('plantings are looked through once for all questions about a field: those of other fields are not met again', () => {
  let reads = 0;
  const elsewhere = Array.from({ length: 100 }, (_, i) => ({
    id: `other${i}`,
    get data() {
      reads++;
      return { fieldId: 'b', crop: 'oats', date: '2026-04-01' };
    },
  }));
  const plantings = [corn, ...elsewhere, soybean];
  expect(plantingOn(plantings, 'a', on)?.id).toBe('soybean');
  const once = reads;
  for (let day = 0; day < 100; day++) plantingOn(plantings, 'a', on + day);
  expect(croppingOf(plantings, 'a', on, 2).planting?.id).toBe('soybean');
  expect(reads).toBe(once);
});

describe('the crop that a field is told for', () => {
  it('is the one in the ground, however many days are asked for; the days end before another is sown', () => {
    for (const days of [0, 2, 3]) expect(told([corn, soybean], days)).toEqual({ crop: 'soybean', days, note: null });
    for (const days of [4, 5, 60])
      expect(told([corn, soybean], days)).toEqual({
        crop: 'soybean',
        days: 3,
        note: 'told for soybean until 2026-05-23: on 2026-05-24 field-corn is to be sown; ask for that day to have it and those after it',
      });
  });

  it('is told no longer than it stands', () => {
    const ended = planting('soybean', '2026-05-05', '2026-05-22');
    expect(told([ended], 5)).toMatchObject({ crop: 'soybean', days: 1 });
    expect(told([ended], 5).note).toContain('on 2026-05-22 it ends');
    expect(told([ended], 1)).toEqual({ crop: 'soybean', days: 1, note: null });
    expect(told([ended, corn], 5)).toMatchObject({ crop: 'soybean', days: 1 });
    expect(told([planting('soybean', '2026-05-05', '2026-05-20')], 5)).toEqual({
      crop: undefined,
      days: 5,
      note: null,
    });
  });

  it('is the first that is planned where none stands', () => {
    const later = planting('sunflower', '2026-05-28');
    expect(told([later, corn], 3)).toEqual({ crop: undefined, days: 3, note: null });
    expect(told([later, corn], 5)).toEqual({ crop: 'field-corn', days: 5, note: null });
    expect(told([later, corn], 10)).toMatchObject({ crop: 'field-corn', days: 7 });
  });

  it('is of the field, and the one sown last of two', () => {
    const other = { id: 'oats', data: { ...soybean.data, fieldId: 'b' } };
    const again = planting('dry-bean', '2026-05-18');
    expect(plantingOn([other], 'a', on)).toBeUndefined();
    expect(plantingOn([again, soybean], 'a', on)?.id).toBe('dry-bean');
    expect(plantingOn([again, soybean], 'a', dayNumber('2026-05-17'))?.id).toBe('soybean');
  });

  it('does not come back when one that was sown long after it has ended; one sown with it does', () => {
    const lastYear = planting('field-corn', '2025-05-06');
    const cover = planting('oats', '2026-04-01', '2026-05-10');
    const under = planting('alfalfa-seeding', '2026-04-01');
    expect(plantingOn([lastYear], 'a', on)?.id).toBe('field-corn');
    expect(plantingOn([lastYear, cover], 'a', on)).toBeUndefined();
    expect(plantingOn([lastYear, under, cover], 'a', on)?.id).toBe('alfalfa-seeding');
    expect(plantingOn([lastYear, under, cover], 'a', dayNumber('2026-05-09'))?.id).toBe('oats');
  });
});

test('of two crops that stand together one is told for, whichever was entered first, and the other is named', () => {
  const oats = planting('oats', '2026-05-05');
  const alfalfa = planting('alfalfa-seeding', '2026-05-05');
  for (const plantings of [
    [oats, alfalfa],
    [alfalfa, oats],
  ]) {
    expect(plantingOn(plantings, 'a', on)?.id).toBe('oats');
    expect(beside(plantings, oats, { fieldId: 'a', on })).toBe(
      'told for oats of 2026-05-05 alone, but alfalfa-seeding of 2026-05-05 counts as standing with it: a window here does not say that it bears the pass; look first. If it is gone, give that planting `endedOn`',
    );
  }
  expect(beside([oats, corn], oats, { fieldId: 'a', on })).toBeNull();
  expect(beside([corn, soybean], soybean, { fieldId: 'a', on: dayNumber('2026-05-24') })).toContain(
    'field-corn of 2026-05-24',
  );
  const gone = planting('alfalfa-seeding', '2026-05-05', '2026-05-20');
  expect(beside([oats, gone], oats, { fieldId: 'a', on })).toBeNull();
  expect(beside([oats, gone], oats, { fieldId: 'a', on: on - 1 })).not.toBeNull();
  const planned = [corn, planting('soybean', '2026-05-24')];
  expect(beside(planned, corn, { fieldId: 'a', on })).toContain('soybean of 2026-05-24');
});

test('that a crop stands longer than crops do is told with the way to end it', () => {
  const corn = planting('field-corn', '2025-05-06');
  const wheat = planting('winter-wheat', '2025-09-20');
  expect(overdue(corn, on)).toBe(
    'field-corn of 2025-05-06 counts as standing for 379 days, which closes windows and shades weeds. If it was taken off since, give that planting `endedOn`',
  );
  expect(overdue(wheat, on)).toBeNull();
});
