import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dayNumber } from '../../../src/core/base/day.ts';
import { airCover, cropDays } from '../../../src/core/crop/crop.ts';
import type { Crop } from '../../../src/core/crop/schema.ts';
import { cropOf, crops, fieldOf, yearlyC } from './synthetic.ts';

const spring = crops.filter(({ sownIn }) => sownIn === 'spring');
const autumn = crops.filter(({ sownIn }) => sownIn === 'autumn');
const springField = fieldOf('2021-01-01', 365, yearlyC('2021-01-01'));
const run = (crop: Crop, date: string, field = springField, more = {}) =>
  cropDays(crop, { crop: crop.id, date, ...more }, field.soil, field.weather);
const upOn = (crop: Crop, date: string, field = springField, more = {}): number =>
  run(crop, date, field, more).emergenceDay ?? Number.POSITIVE_INFINITY;

describe.each(crops.map((crop) => [crop.id, crop] as const))('%s', (_, crop) => {
  const field = fieldOf('2021-01-01', 700, yearlyC('2021-01-01'));
  const springDate = crop.emergence.baseTempC > 5 ? '2021-05-20' : '2021-04-20';
  const date = crop.sownIn === 'spring' ? springDate : '2021-09-28';
  const series = run(crop, date, field);
  const sownAt = dayNumber(date) - series.startDay;
  const upAt = (series.emergenceDay as number) - series.startDay;

  it('is NaN before sowing, -1 on its day, at least 0 from emergence on', () => {
    for (const column of [series.leaf, series.heightCm, series.coverFrac, series.shootTipDepthCm])
      expect(column.subarray(0, sownAt).every(Number.isNaN)).toBe(true);
    expect(series.leaf[sownAt]).toBe(-1);
    expect(series.leaf[upAt - 1]).toBeLessThan(0);
    expect(series.leaf[upAt]).toBeGreaterThanOrEqual(0);
  });

  it('never goes back: leaf, height, cover; the shoot tip only rises', () => {
    const falls = (column: Float64Array): boolean =>
      column.some((value, i) => i > sownAt && value < (column[i - 1] as number));
    expect(falls(series.leaf)).toBe(false);
    expect(falls(series.heightCm)).toBe(false);
    expect(falls(series.coverFrac)).toBe(false);
    expect(falls(series.shootTipDepthCm.map((depth) => -depth))).toBe(false);
  });

  it('is up 4 to 25 days after sowing, at the usual depth, in a usual year', () => {
    expect(upAt - sownAt).toBeGreaterThanOrEqual(4);
    expect(upAt - sownAt).toBeLessThanOrEqual(25);
  });

  it('shows a stage of its own and shades most of the ground in the end', () => {
    expect(series.coverFrac[series.days - 1]).toBeGreaterThanOrEqual(0.85);
    expect(series.leaf[series.days - 1]).toBe(crop.leaf.heatCd.at(-1)?.[0]);
  });
});

describe('cropDays', () => {
  it.each(spring.map((crop) => [crop.id, crop] as const))('%s: deeper seed is never up sooner', (_, crop) => {
    const { least, most } = crop.plantingDepthCm;
    expect(upOn(crop, '2021-05-05', springField, { depthCm: most })).toBeGreaterThan(
      upOn(crop, '2021-05-05', springField, { depthCm: least }),
    );
  });

  it('warmer soil never brings a crop up later', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...spring),
        fc.double({ min: 0, max: 4, noNaN: true }),
        fc.integer({ min: 0, max: 60 }),
        (crop, warmer, later) => {
          const at = yearlyC('2021-01-01');
          const date = new Date(Date.UTC(2021, 3, 10 + later)).toISOString().slice(0, 10);
          return (
            upOn(
              crop,
              date,
              fieldOf('2021-01-01', 200, (i) => at(i) + warmer),
            ) <= upOn(crop, date)
          );
        },
      ),
      { numRuns: 40 },
    );
  });

  it('follows the soil below ground and the air above: cold air does not hold corn back before V6', () => {
    const corn = cropOf('field-corn');
    const warm = fieldOf('2021-05-01', 80, () => 20);
    const cold = { soil: warm.soil, weather: { ...warm.weather, tempMaxC: new Float64Array(80).fill(9) } };
    const inCold = run(corn, '2021-05-01', {
      soil: cold.soil,
      weather: { ...cold.weather, tempMinC: new Float64Array(80) },
    });
    const inWarm = run(corn, '2021-05-01', warm);
    expect(inCold.emergenceDay).toBe(inWarm.emergenceDay);
    const six = inWarm.leaf.findIndex((leaf) => leaf >= 6);
    expect(inCold.leaf[six]).toBeCloseTo(inWarm.leaf[six] as number, 10);
    expect(inCold.leaf[79]).toBe(inCold.leaf[six]);
  });

  it('heat counts from the day after sowing: 63.9 C d at 10 a day are met on the seventh', () => {
    const field = fieldOf('2021-05-01', 20, () => 20);
    expect(upOn(cropOf('field-corn'), '2021-05-01', field)).toBe(field.weather.startDay + 7);
  });

  it('soil above the upper limit counts as the limit, hour by hour', () => {
    const hot = fieldOf('2021-05-01', 20, () => 45);
    const limit = fieldOf('2021-05-01', 20, () => 30);
    expect(upOn(cropOf('field-corn'), '2021-05-01', hot)).toBe(upOn(cropOf('field-corn'), '2021-05-01', limit));
  });

  it('the rest of the day of emergence goes to the leaves', () => {
    const field = fieldOf('2021-05-01', 20, () => 20);
    // 70 C d by the seventh day, 6.1 of them left over, at 45.56 a collar.
    expect(run(cropOf('field-corn'), '2021-05-01', field).leaf[7]).toBeCloseTo(6.1 / 45.56, 3);
  });

  it('a crop still to be sown after the series is NaN throughout, and not up', () => {
    const series = run(cropOf('soybean'), '2022-05-10');
    expect(series.leaf.every(Number.isNaN)).toBe(true);
    expect(series.emergenceDay).toBeNull();
  });

  it('frozen ground keeps the seed where it is', () => {
    const series = run(
      cropOf('spring-wheat'),
      '2021-01-05',
      fieldOf('2021-01-01', 60, () => -3),
    );
    expect(series.leaf[59]).toBe(-1);
    expect(series.shootTipDepthCm[59]).toBe(4);
  });

  it('sown before the weather begins: refused, with what to do', () => {
    expect(() => run(cropOf('soybean'), '2020-12-31')).toThrow(
      'planting.date: given 2020-12-31, before the first day of weather, 2021-01-01',
    );
  });

  it('takes depth and rows from the planting, or the usual ones', () => {
    expect(run(cropOf('soybean'), '2021-05-05')).toMatchObject({ depthCm: 4, rowCm: 76 });
    expect(run(cropOf('soybean'), '2021-05-05', springField, { depthCm: 3, rowCm: 38 })).toMatchObject({
      depthCm: 3,
      rowCm: 38,
    });
  });

  it('shoot tip: for bean, soybean and sunflower, which hook, NaN until they are up', () => {
    for (const id of ['dry-bean', 'soybean', 'sunflower']) {
      const series = run(cropOf(id), '2021-05-05');
      expect(series.shootTipDepthCm[dayNumber('2021-05-08') - series.startDay]).toBeNaN();
      expect(series.shootTipDepthCm[series.days - 1]).toBe(0);
    }
  });
});

describe('autumn-sown crops', () => {
  it.each(autumn.map((crop) => [crop.id, crop] as const))(
    '%s: tillers before winter, rests, shoots in spring',
    (_, crop) => {
      const field = fieldOf('2021-09-01', 330, yearlyC('2021-09-01'));
      const series = run(crop, '2021-09-28', field);
      const at = (date: string): number => series.leaf[dayNumber(date) - series.startDay] as number;
      expect(at('2021-12-10')).toBeGreaterThan(2);
      expect(at('2021-12-10')).toBeLessThan(7);
      expect(at('2022-02-20') - at('2021-12-20')).toBeLessThan(1);
      expect(at('2022-06-10')).toBeGreaterThan(8);
      expect(series.heightCm[dayNumber('2022-02-20') - series.startDay]).toBeGreaterThan(0);
    },
  );
});

describe('winter rest', () => {
  const wheat = cropOf('winter-wheat');
  const field = fieldOf('2021-08-15', 330, yearlyC('2021-08-15'));
  const on = (date: string, leaf: number): number => {
    const series = run(wheat, date, field);
    return series.leaf.findIndex((value) => value >= leaf);
  };

  it('early wheat waits at 4.5 leaves through a long autumn', () => {
    const { leaf, startDay } = run(wheat, '2021-08-25', field);
    expect(leaf[dayNumber('2021-10-20') - startDay]).toBe(4.5);
    expect(leaf[dayNumber('2021-11-10') - startDay]).toBe(4.5);
  });

  it('so that the stem rises within a week of one date, whether sown in August or September', () => {
    expect(on('2021-09-20', 8) - on('2021-08-25', 8)).toBeGreaterThanOrEqual(0);
    expect(on('2021-09-20', 8) - on('2021-08-25', 8)).toBeLessThanOrEqual(7);
    expect(on('2021-08-25', 8)).toBeGreaterThan(dayNumber('2022-04-01') - field.weather.startDay);
  });

  it('without its cold it ends on 1 March, which is told; sown later it stays a tuft of leaves until the next', () => {
    const warm = fieldOf('2021-08-15', 330, () => 22);
    const { leaf, startDay, restEndedByDate } = run(wheat, '2021-08-25', warm);
    expect(leaf[dayNumber('2022-02-28') - startDay]).toBe(4.5);
    expect(leaf[dayNumber('2022-03-01') - startDay]).toBeGreaterThan(4.5);
    expect(restEndedByDate).toBe(dayNumber('2022-03-01'));
    const spring = run(
      wheat,
      '2022-03-01',
      fieldOf('2022-03-01', 300, () => 22),
    );
    expect(spring.leaf[299]).toBe(4.5);
    expect(spring.restEndedByDate).toBeNull();
  });

  it('south of the equator it ends on 1 September', () => {
    const { weather, soil } = fieldOf('2022-04-15', 200, () => 14);
    const south = cropDays(wheat, { crop: wheat.id, date: '2022-05-15' }, soil, weather, true);
    expect(south.leaf[dayNumber('2022-08-31') - weather.startDay]).toBe(4.5);
    expect(south.leaf[dayNumber('2022-09-10') - weather.startDay]).toBeGreaterThan(4.5);
    expect(south.restEndedByDate).toBe(dayNumber('2022-09-01'));
  });

  it('where the cold is full the date changes nothing', () =>
    expect(run(wheat, '2021-09-20', field).restEndedByDate).toBeNull());
});

describe('airCover', () => {
  it('is 0 before sowing and emergence, never NaN, and never falls', () => {
    for (const crop of crops) {
      const cover = airCover(crop, { crop: crop.id, date: '2021-05-05' }, springField.weather);
      expect(cover.some(Number.isNaN)).toBe(false);
      expect(cover[dayNumber('2021-05-06') - springField.weather.startDay]).toBe(0);
      expect(cover.every((value, i) => i === 0 || value >= (cover[i - 1] as number))).toBe(true);
    }
  });

  it('sown after the series: bare', () => {
    const cover = airCover(cropOf('oats'), { crop: 'oats', date: '2022-04-01' }, springField.weather);
    expect(Math.max(...cover)).toBe(0);
  });
});
