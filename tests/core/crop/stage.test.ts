import { describe, expect, it } from 'vitest';
import { isoDate } from '../../../src/core/base/day.ts';
import { cropDays } from '../../../src/core/crop/crop.ts';
import {
  canopyClosureDay,
  coverFrac,
  heatToLeafCd,
  shootTipDepthCm,
  stageDates,
  stageName,
  tenderStage,
} from '../../../src/core/crop/stage.ts';
import { coveredCropFrac, toleranceCost } from '../../../src/core/crop/standCost.ts';
import { cropOf, fieldOf } from './synthetic.ts';

const corn = cropOf('field-corn');
const soybean = cropOf('soybean');

describe('names', () => {
  it('before emergence sown, then the last stage reached; null where nothing is sown', () => {
    expect([-1, -0.01, 0, 0.9, 6.2].map((leaf) => stageName(corn, leaf))).toEqual(['sown', 'sown', 'VE', 'VE', 'V6']);
    expect(stageName(corn, Number.NaN)).toBeNull();
  });

  it('soybean: hook, then cotyledons opening, then none', () => {
    expect([-0.3, -0.1, 0.2, 0.5].map((leaf) => tenderStage(soybean, leaf))).toEqual([
      null,
      'hook',
      'cotyledons opening',
      null,
    ]);
    expect(tenderStage(soybean, Number.NaN)).toBeNull();
  });
});

describe('shoot tip', () => {
  it('starts at the seed, is 3 cm deep 18 C d before corn is up, and 0 after', () => {
    expect(shootTipDepthCm(corn, 5, -1)).toBe(5);
    expect(shootTipDepthCm(corn, 5, -18 / 63.9)).toBeCloseTo(3, 10);
    expect(shootTipDepthCm(corn, 5, 2)).toBe(0);
  });
});

describe('cover', () => {
  it('is the curve at the usual rows, more in narrower, less in wider, never above the end of the curve', () => {
    expect(coverFrac(soybean, 76, 5)).toBeCloseTo(0.4, 10);
    expect(coverFrac(soybean, 38, 5)).toBeCloseTo(1 - 0.6 ** 2, 10);
    expect(coverFrac(soybean, 152, 5)).toBeCloseTo(1 - Math.sqrt(0.6), 10);
    expect(coverFrac(soybean, 19, 12)).toBe(0.9);
  });

  it('is 0 before emergence and where nothing is sown', () => {
    expect(coverFrac(soybean, 76, -0.2)).toBe(0);
    expect(coverFrac(soybean, 76, Number.NaN)).toBe(0);
  });
});

describe('stage dates', () => {
  const { soil, weather } = fieldOf('2021-05-01', 45, () => 20);
  const series = cropDays(corn, { crop: 'field-corn', date: '2021-05-01' }, soil, weather);
  const dates = stageDates(corn, series);

  it('corn at 10 C d a day: VE on the 7th day, V1 (109.5 C d) on the 11th, a tenth sooner or later', () => {
    const days = ({ earliestDay, day, latestDay }: (typeof dates)[number]) =>
      [earliestDay, day, latestDay].map((d) => (d === null ? null : isoDate(d)));
    expect(days(dates[0] as (typeof dates)[number])).toEqual(['2021-05-07', '2021-05-08', '2021-05-09']);
    expect(days(dates[1] as (typeof dates)[number])).toEqual(['2021-05-11', '2021-05-12', '2021-05-14']);
  });

  it('the days before sowing change nothing', () => {
    const early = fieldOf('2021-04-01', 75, () => 20);
    const later = cropDays(corn, { crop: 'field-corn', date: '2021-05-01' }, early.soil, early.weather);
    expect(stageDates(corn, later)).toEqual(dates);
  });

  it('null for what the series does not reach', () => {
    expect(dates.at(-1)).toMatchObject({ name: 'V14', earliestDay: null, day: null, latestDay: null });
    expect(canopyClosureDay(series)).toBeNull();
  });

  it('heat to a leaf is in proportion before emergence', () => {
    expect(heatToLeafCd(corn, 5, -0.5)).toBeCloseTo(63.9 / 2, 10);
    expect(heatToLeafCd(corn, 5, Number.NaN)).toBeNaN();
  });
});

describe('what a pass costs', () => {
  const plain = { implement: 'x', fromLeaf: 0, toLeaf: 5, afternoonOnly: false, standLossFrac: 0.02 };
  it('is plants, or for a harrow that covers yield, in proportion to the crop covered', () => {
    expect(toleranceCost(plain, 0.6)).toEqual({ standFrac: 0.02, yieldFrac: 0 });
    const covering = { selectivity: 5.35, yieldLossAtQuarterCoverFrac: 0.006 };
    const quarter = 1 - 0.75 ** 5.35;
    expect(toleranceCost({ ...plain, covering }, quarter)).toEqual({
      standFrac: 0,
      yieldFrac: expect.closeTo(0.006, 10),
    });
    expect(toleranceCost({ ...plain, covering }, 0).yieldFrac).toBe(0);
  });

  it('80 % control covers 0.26 at selectivity 5.35', () => {
    expect(coveredCropFrac(0.8, 5.35)).toBeCloseTo(0.26, 2);
  });
});
