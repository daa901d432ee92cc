import { clamp } from '../base/numbers.ts';
import type { Crop } from '../crop/schema.ts';

/** No crop is ripe so few leaves after the critical time: a leaf curve that ends earlier was not written to the end. Default of judgement. */
const LEAST_LEAVES = 8;

/**
 * Share of the harm of a season that weeds can still do to a crop which has so many leaves: all of it up to the critical
 * time of their removal, then less with each leaf, nothing at the crop's last. Derived: so corn loses 2.3 points of 39 a
 * leaf and soybean 3.0; Knezevic 2001 reports about 2 % of the yield for each leaf of delay.
 * @param leaf NaN for no crop, below 0 before emergence
 * @returns 0 to 1
 * @example harmLeftFrac({ criticalRemovalLeaf: 3, leaf: { heatCd: [[0, 0], [20, 733]] } }, 11.5) // 0.5
 */
export const harmLeftFrac = (
  crop: Pick<Crop, 'criticalRemovalLeaf'> & { readonly leaf: Pick<Crop['leaf'], 'heatCd'> },
  leaf: number,
): number => {
  const { criticalRemovalLeaf } = crop;
  const { heatCd } = crop.leaf;
  const lastLeaf = Math.max(heatCd[heatCd.length - 1][0], criticalRemovalLeaf + LEAST_LEAVES);
  if (!(leaf > criticalRemovalLeaf)) return 1;
  return clamp((lastLeaf - leaf) / (lastLeaf - criticalRemovalLeaf), 0, 1);
};
