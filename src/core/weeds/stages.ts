import { type Species, weedStages } from './schema.ts';

export const STAGES = weedStages.length;

/**
 * Heat since emergence at which a weed leaves each stage, C d on the leaf clock, in the order of `weedStages`: 1, 3 and
 * 5 leaves, then 10 and 15 cm. Never less than for the stage before, so that no weed goes back; Infinity for the last
 * stage and for a plant that stays low. The white thread runs on another clock and has 0 here.
 */
export const stageEndsCd = ({ leaf, height }: Species): Float64Array => {
  const fiveLeaves = 5 * leaf.perLeafCd;
  const tenCm = height === null ? Number.POSITIVE_INFINITY : Math.max(fiveLeaves, height.to10CmCd);
  const fifteenCm = height === null ? Number.POSITIVE_INFINITY : Math.max(tenCm, height.to15CmCd);
  return Float64Array.of(0, leaf.perLeafCd, 3 * leaf.perLeafCd, fiveLeaves, tenCm, fifteenCm, Number.POSITIVE_INFINITY);
};
