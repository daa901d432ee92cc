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

/** What a pass costs a crop: plants, or yield of plants that live on under the soil thrown over them. Shares of 1. */
export type CropCost = { readonly standFrac: number; readonly yieldFrac: number };

/** A pass that costs nothing. */
export const noCost: CropCost = { standFrac: 0, yieldFrac: 0 };

/** A pass that costs plants. */
export const standCost = (standFrac: number): CropCost => ({ standFrac, yieldFrac: 0 });

/**
 * What a pass costs the crop by its entry for the tool: plants, or where the tool covers the crop rather than uproots it the
 * yield that this costs, which more stand elsewhere does not make up for.
 * @param weedControlFrac share of the weeds that the pass kills
 */
export const toleranceCost = ({ covering, standLossFrac }: Tolerance, weedControlFrac: number): CropCost =>
  covering === undefined
    ? standCost(standLossFrac)
    : {
        standFrac: 0,
        yieldFrac:
          (covering.yieldLossAtQuarterCoverFrac * coveredCropFrac(weedControlFrac, covering.selectivity)) / 0.25,
      };
