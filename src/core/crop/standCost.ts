import type { Tolerance } from './schema.ts';

/**
 * Share of the crop that a harrow covers with soil when it controls a share of the weeds:
 * C = 1 - (1 - W)^(1 / selectivity).
 * Source: form of Rasmussen, Mathiasen & Bibby 2010, Weed Research 50:436; the crop's file has its selectivity.
 * @param weedControlFrac 0 to 1
 * @example coveredCropFrac(0.8, 5.35) // 0.26
 */
export const coveredCropFrac = (weedControlFrac: number, selectivity: number): number =>
  1 - (1 - weedControlFrac) ** (1 / selectivity);

/**
 * What a pass costs the crop, as share of its stand or, where the crop is only covered, of its yield.
 * @param weedControlFrac share of the weeds that the pass kills
 */
export const standCostFrac = ({ covering, standLossFrac }: Tolerance, weedControlFrac: number): number =>
  covering === undefined
    ? standLossFrac
    : (covering.yieldLossAtQuarterCoverFrac * coveredCropFrac(weedControlFrac, covering.selectivity)) / 0.25;
