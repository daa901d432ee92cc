import { clamp } from '../base/numbers.ts';
import type { CropCost } from '../crop/standCost.ts';

/** Yield that weeds take when nothing is done, per cent. Source: Lovely, Weber & Staniforth 1958, weedy soybean yields 61 %. */
const WEEDY_LOSS_POINTS = 39;
/**
 * Yield points for each point of stand lost beyond what the crop forgives. Derived: corn loses 2 % of yield with 10 % of
 * its stand (Gunsolus 1990), and its first 5 % are forgiven.
 */
const POINTS_PER_STAND_POINT = 0.4;

const standPoints = (lostFrac: number, forgivenFrac: number): number =>
  100 * POINTS_PER_STAND_POINT * Math.max(0, lostFrac - forgivenFrac);

/** What a pass does, as far as it counts. */
export type PassWorth = {
  /** Share of the weed year's seedlings that it kills, weighted by harm. */
  readonly killedFrac: number;
  /** Share of a season's harm that weeds can still do, as `harmLeftFrac` tells. */
  readonly harmLeftFrac: number;
  /** Stand lost by earlier passes. */
  readonly lostBeforeFrac: number;
  /** Of this one, of what stood before it. */
  readonly cost: CropCost;
  readonly forgivenStandLossFrac: number;
};

/**
 * 0 to 100: yield points saved, as per cent of all that weeds could take. 39 x killed x harm they can still do, less 0.4 for
 * each point of stand beyond what is forgiven over the season, less the yield that covering costs, over 39. It ranks the days
 * and implements of one field; it is no forecast of yield.
 */
export const score = (worth: PassWorth): number => {
  const { cost, lostBeforeFrac, forgivenStandLossFrac } = worth;
  const after = 1 - (1 - lostBeforeFrac) * (1 - cost.standFrac);
  const stand = standPoints(after, forgivenStandLossFrac) - standPoints(lostBeforeFrac, forgivenStandLossFrac);
  const saved = WEEDY_LOSS_POINTS * worth.killedFrac * worth.harmLeftFrac - stand - 100 * cost.yieldFrac;
  return clamp((100 * saved) / WEEDY_LOSS_POINTS, 0, 100);
};

/** Scores that differ by no more are alike: then the earlier day is the better one, as rain may close the later. Default of judgement. */
export const ALIKE_POINTS = 0.5;
