import { describe, expect, it, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { croppingOf, endedBy, overdue, standingOn, standTogether } from '../../src/service/cropping.ts';

const on = dayNumber('2026-05-20');
const planting = (id: string, date: string, endedOn?: string) => ({
  id,
  data: { fieldId: 'a', crop: id, date, ...(endedOn === undefined ? {} : { endedOn }) },
});
const soybean = planting('soybean', '2026-05-05');
const corn = planting('field-corn', '2026-05-24');

const told = (plantings: readonly ReturnType<typeof planting>[], days: number) => {
  const { plantings: found, ...rest } = croppingOf(plantings, 'a', on, days);
  return { crop: found.map(({ id }) => id).join(' '), ...rest };
};

/** The crops in the ground of field a, the one that it is told for last. */
const standing = (plantings: readonly ReturnType<typeof planting>[], day = on) =>
  standingOn(plantings, 'a', day)
    .map(({ id }) => id)
    .join(' ');

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
  expect(standing(plantings)).toBe('soybean');
  const once = reads;
  for (let day = 0; day < 100; day++) standingOn(plantings, 'a', on + day);
  expect(told(plantings, 2).crop).toBe('soybean');
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
    expect(told([ended], 5).note).toContain('on 2026-05-22 soybean ends');
    expect(told([ended], 1)).toEqual({ crop: 'soybean', days: 1, note: null });
    expect(told([ended, corn], 5)).toMatchObject({ crop: 'soybean', days: 1 });
    expect(told([planting('soybean', '2026-05-05', '2026-05-20')], 5)).toEqual({
      crop: '',
      days: 5,
      note: null,
    });
  });

  it('is the first that is planned where none stands', () => {
    const later = planting('sunflower', '2026-05-28');
    expect(told([later, corn], 3)).toEqual({ crop: '', days: 3, note: null });
    expect(told([later, corn], 5)).toEqual({ crop: 'field-corn', days: 5, note: null });
    expect(told([later, corn], 10)).toMatchObject({ crop: 'field-corn', days: 7 });
  });

  it('is of the field, and the one sown last of two that stand together', () => {
    const other = { id: 'oats', data: { ...soybean.data, fieldId: 'b' } };
    const again = planting('dry-bean', '2026-05-18');
    expect(standing([other])).toBe('');
    expect(standing([again, soybean])).toBe('soybean dry-bean');
    expect(standing([again, soybean], dayNumber('2026-05-17'))).toBe('soybean');
  });

  it('does not come back when one that was sown long after it has ended; one sown with it does', () => {
    const lastYear = planting('field-corn', '2025-05-06');
    const cover = planting('oats', '2026-04-01', '2026-05-10');
    const under = planting('alfalfa-seeding', '2026-04-01');
    expect(standing([lastYear])).toBe('field-corn');
    expect(standing([lastYear, cover])).toBe('');
    expect(standing([lastYear, under, cover])).toBe('alfalfa-seeding');
    expect(standing([lastYear, under, cover], dayNumber('2026-05-09'))).toBe('alfalfa-seeding oats');
  });
});

describe('crops that have ended', () => {
  const wheat = planting('winter-wheat', '2025-09-28', '2026-05-18');
  const ended = (plantings: readonly ReturnType<typeof planting>[], day = on) =>
    endedBy(plantings, 'a', day).map((one) => `${one.planting.crop} ${one.endedOn}`);

  it('are those whose day has come, and those whose place another took more than a month later', () => {
    expect(ended([wheat])).toEqual(['winter-wheat 2026-05-18']);
    expect(ended([wheat], dayNumber('2026-05-17'))).toEqual([]);
    const rye = planting('winter-rye', '2025-09-28');
    expect(ended([rye, soybean])).toEqual(['winter-rye 2026-05-05']);
    expect(ended([rye, soybean], dayNumber('2026-05-04'))).toEqual([]);
    expect(ended([soybean, planting('oats', '2026-05-10')])).toEqual([]);
    expect(ended([planting('oats', '2026-05-21', '2026-05-22')])).toEqual([]);
  });

  it('do not count as ended before their day, whatever is sown into them', () => {
    const nurse = planting('winter-wheat', '2025-09-28', '2026-07-10');
    expect(standing([nurse, soybean])).toBe('winter-wheat soybean');
    expect(ended([nurse, soybean])).toEqual([]);
  });
});

describe('crops that stand together', () => {
  const oats = planting('oats', '2026-05-05');
  const alfalfa = planting('alfalfa-seeding', '2026-05-05');

  it('are told for in the same order, whichever was entered first, and named', () => {
    for (const plantings of [
      [oats, alfalfa],
      [alfalfa, oats],
    ])
      expect(told(plantings, 5)).toEqual({ crop: 'alfalfa-seeding oats', days: 5, note: null });
    expect(standTogether([alfalfa, oats])).toBe(
      'alfalfa-seeding of 2026-05-05 and oats of 2026-05-05 count as standing together, and a window is open only where it spares each. If one is gone, give that planting `endedOn`',
    );
    expect(standTogether([oats])).toBeNull();
    expect(standTogether([])).toBeNull();
  });

  it('are told for until one of them ends', () => {
    const mown = planting('oats', '2026-05-05', '2026-05-23');
    expect(told([mown, alfalfa], 5)).toEqual({
      crop: 'alfalfa-seeding oats',
      days: 2,
      note: 'told for alfalfa-seeding and oats until 2026-05-22: on 2026-05-23 oats ends; ask for that day to have it and those after it',
    });
    expect(standing([mown, alfalfa], dayNumber('2026-05-22'))).toBe('alfalfa-seeding oats');
    expect(standing([mown, alfalfa], dayNumber('2026-05-23'))).toBe('alfalfa-seeding');
  });

  it('are those sown within a month of the last, and those planned for one day', () => {
    expect(standing([oats, corn], dayNumber('2026-05-24'))).toBe('oats field-corn');
    expect(standing([planting('oats', '2026-04-23'), corn], dayNumber('2026-05-24'))).toBe('field-corn');
    const planned = [corn, planting('soybean', '2026-05-24'), planting('sunflower', '2026-05-26')];
    expect(told(planned, 10)).toMatchObject({ crop: 'field-corn soybean', days: 5 });
  });
});

test('that a crop stands longer than crops do is told with the way to end it', () => {
  const corn = planting('field-corn', '2025-05-06');
  const wheat = planting('winter-wheat', '2025-09-20');
  expect(overdue(corn, on)).toBe(
    'field-corn of 2025-05-06 counts as standing for 379 days, which closes windows and shades weeds. If it was taken off since, give that planting `endedOn`',
  );
  expect(overdue(wheat, on)).toBeNull();
});
