import type { DayNumber } from '../base/day.ts';
import { interpolated } from '../base/numbers.ts';
import type { CropDays } from './days.ts';
import type { Crop } from './schema.ts';

/**
 * Heat from sowing to emergence, on the base of the crop's emergence clock: lagCd + perCmCd x depth.
 * Source: the form of CERES-Maize (Jones & Kiniry 1986), 45 + 6 x depth; the crop's file names its constants' origin.
 * @example emergenceHeatCd(fieldCorn, 5) // 63.9
 */
export const emergenceHeatCd = (crop: Crop, depthCm: number): number =>
  crop.emergence.lagCd + crop.emergence.perCmCd * depthCm;

/**
 * Heat from sowing to a leaf number; from -1 at sowing to 0 at emergence in proportion, then along the leaf clock.
 * The two clocks may have different bases, so this is the sum of both counts. NaN where nothing is sown (leaf NaN).
 */
export const heatToLeafCd = (crop: Crop, depthCm: number, leaf: number): number => {
  const toEmergence = emergenceHeatCd(crop, depthCm);
  if (Number.isNaN(leaf)) return Number.NaN;
  return leaf < 0 ? (1 + leaf) * toEmergence : toEmergence + interpolated(crop.leaf.heatCd, leaf);
};

/**
 * Depth of the shoot tip below the surface: (heat to emergence - heat so far) / heat per cm, at most the sowing depth.
 * NaN for crops that hook: their arch, not a tip, breaks the ground, and no rate is published.
 * @param leaf from -1 at sowing to 0 at emergence, as in `CropDays`
 */
export const shootTipDepthCm = (crop: Crop, depthCm: number, leaf: number): number => {
  if (leaf >= 0) return 0;
  if (crop.blind?.tipMarginCm === null || crop.emergence.perCmCd === 0) return Number.NaN;
  return Math.min(depthCm, (-leaf * emergenceHeatCd(crop, depthCm)) / crop.emergence.perCmCd);
};

/**
 * Share of the ground shaded. The crop's curve stands for its usual row width; other widths change it as if leaves
 * overlapped at random: 1 - (1 - cover)^(usual / row), never above the value that the curve ends on.
 * Default of ours. It closes 38 cm soybean rows about two weeks before 76 cm rows, which Iowa State reports.
 */
export const coverFrac = (crop: Crop, rowCm: number, leaf: number): number => {
  if (!(leaf >= 0)) return 0;
  const most = interpolated(crop.coverFrac, Number.POSITIVE_INFINITY);
  return Math.min(most, 1 - (1 - interpolated(crop.coverFrac, leaf)) ** (crop.usualRowCm / rowCm));
};

/** The stage reached, by the name growers use; 'sown' before emergence, null where nothing is sown (NaN). */
export const stageName = (crop: Crop, leaf: number): string | null => {
  if (Number.isNaN(leaf)) return null;
  return crop.stages.findLast((stage) => stage.leaf <= leaf)?.name ?? 'sown';
};

/** The tender stage that the crop is in, undefined when in none. */
export const tenderAt = (crop: Crop, leaf: number): Crop['tender'][number] | undefined =>
  crop.tender.find((tender) => leaf >= tender.fromLeaf && leaf < tender.toLeaf);

/** Name of the stage at which hoes do harm, such as 'hook'; null when the crop is in none. */
export const tenderStage = (crop: Crop, leaf: number): string | null => tenderAt(crop, leaf)?.name ?? null;

/** When a stage is reached, and when it is if the heat that it needs is less or more; null beyond the series. */
export type StageDate = {
  readonly name: string;
  readonly leaf: number;
  readonly earliestDay: DayNumber | null;
  readonly day: DayNumber | null;
  readonly latestDay: DayNumber | null;
};

const firstDay = (crop: CropDays, reached: (index: number) => boolean): DayNumber | null => {
  for (let i = 0; i < crop.days; i++) if (reached(i)) return crop.startDay + i;
  return null;
};

/** The days on which the crop reaches each of its stages, with the band of `heatUncertaintyFrac`. */
export const stageDates = (crop: Crop, series: CropDays): StageDate[] => {
  const heatCd = Array.from(series.leaf, (leaf) => heatToLeafCd(crop, series.depthCm, leaf));
  return crop.stages.map(({ name, leaf }) => {
    const needed = heatToLeafCd(crop, series.depthCm, leaf);
    const dayAt = (factor: number) => firstDay(series, (i) => (heatCd[i] as number) >= needed * factor - 1e-9);
    return {
      name,
      leaf,
      earliestDay: dayAt(1 - crop.heatUncertaintyFrac),
      day: dayAt(1),
      latestDay: dayAt(1 + crop.heatUncertaintyFrac),
    };
  });
};

/** Cover at which the rows count as closed: a fifth of the light still reaches the ground (Nafziger 2010, corn). */
const CLOSED_FRAC = 0.8;

/** First day on which the rows are closed; null when that is not in the series. */
export const canopyClosureDay = (series: CropDays): DayNumber | null =>
  firstDay(series, (i) => (series.coverFrac[i] as number) >= CLOSED_FRAC);
