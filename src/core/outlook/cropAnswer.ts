import type { DayNumber } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import type { CropDays } from '../crop/days.ts';
import { canopyClosureDay, type StageDate, stageDates, stageName, tenderStage } from '../crop/stage.ts';
import type { FieldCrop } from '../windows/input.ts';
import { band, between } from './bands.ts';
import type { Shown } from './emergence.ts';
import type { CropAnswer, DatedBand } from './schema.ts';

/** Canopy closure depends on row, stand and water besides heat. Default of judgement. */
const CLOSURE_DAYS = 7;

/** In great heat a share of it is less than a day; days are whole, and within a field depth and soil differ. Default of judgement. */
const LEAST_DAYS = 1;

/**
 * As early as with less heat, as late as with more. Where the weather ends before that much, as far after as before, but on none
 * of its days: a cold week after the date is known to hold the stage up.
 */
const stageBand = ({ earliestDay, day, latestDay }: StageDate, weatherEnd: DayNumber): DatedBand | null => {
  if (day === null) return null;
  const earliest = Math.min(earliestDay ?? day, day - LEAST_DAYS);
  const latest = latestDay ?? Math.max(day + (day - earliest), weatherEnd + 1);
  return between(day, earliest, Math.max(latest, day + LEAST_DAYS));
};

const orNull = (value: number, digits: number): number | null =>
  Number.isFinite(value) ? rounded(value, digits) : null;

const indexOf = ({ startDay, days }: CropDays, day: DayNumber): number =>
  Math.min(Math.max(day - startDay, 0), days - 1);

/** The name of its stage on a day. */
export const stageOn = ({ crop, days }: FieldCrop, day: DayNumber): string =>
  stageName(crop, days.leaf[indexOf(days, day)]) ?? 'not sown';

/** Stage, height and cover that a crop reaches in the course of today, and its dates. */
export const cropAnswer = (field: FieldCrop, shown: Shown): CropAnswer => {
  const { crop, days } = field;
  const today = indexOf(days, shown.today);
  const leaf = days.leaf[today];
  const closes: DayNumber | null = canopyClosureDay(days);
  const stages = stageDates(crop, days).flatMap((stage) => {
    const reached = stageBand(stage, shown.to);
    return reached === null ? [] : [{ stage: stage.name, leaf: stage.leaf, reached }];
  });
  return {
    crop: crop.id,
    emergence: stages.find((stage) => stage.leaf === 0)?.reached ?? null,
    stageToday: stageOn(field, shown.today),
    stages: stages.map(({ stage, reached }) => ({ stage, reached })),
    heightCm: orNull(days.heightCm[today], 1) ?? 0,
    coverFrac: orNull(days.coverFrac[today], 3) ?? 0,
    shootTipDepthCm: orNull(days.shootTipDepthCm[today], 1),
    tenderNow: tenderStage(crop, leaf),
    canopyCloses: closes === null ? null : band(closes, CLOSURE_DAYS),
    leaf: Array.from(days.leaf.subarray(shown.from - days.startDay, shown.to - days.startDay + 1), (v) => orNull(v, 2)),
  };
};
