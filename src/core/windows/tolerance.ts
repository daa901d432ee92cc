import type { Crop, Tolerance } from '../crop/schema.ts';
import { tenderAt } from '../crop/stage.ts';
import { standCostFrac } from '../crop/standCost.ts';
import type { Implement } from './schema.ts';

/** Stand lost by a hoe at a tender stage. Default: sources say "severe", no number; 15 to 40 %. */
const TENDER_LOSS_FRAC = 0.25;

/**
 * The crop's entry for an implement at a leaf number: the one that holds it, else the next to come, else the last that
 * was. Undefined when the crop does not list the implement.
 */
export const toleranceAt = (crop: Crop, implementId: string, leaf: number): Tolerance | undefined => {
  let chosen: Tolerance | undefined;
  for (const entry of crop.tolerances) {
    if (entry.implement !== implementId) continue;
    if (chosen === undefined || distance(entry, leaf) < distance(chosen, leaf)) chosen = entry;
  }
  return chosen;
};

/** 0 inside; what is still to come goes before all that is over. */
const distance = ({ fromLeaf, toLeaf }: Tolerance, leaf: number): number =>
  leaf < fromLeaf ? fromLeaf - leaf : leaf > toLeaf ? 1000 + leaf - toLeaf : 0;

/**
 * Share of the stand that one pass costs, allowed or not; 0 before planting (leaf NaN). Where the crop's entry says that
 * the tool covers rather than uproots, the share of the yield that the covering costs, once the kill is known.
 * @param weedControlFrac share of the living weeds that the pass kills; without it the plain stand loss
 */
export const standLossFrac = (
  crop: Crop,
  tool: Pick<Implement, 'id' | 'loosensGroundFrac'>,
  leaf: number,
  weedControlFrac?: number,
): number => {
  if (Number.isNaN(leaf)) return 0;
  const entry = toleranceAt(crop, tool.id, leaf);
  const allowed = leaf < 0 ? crop.blind?.implements.includes(tool.id) : entry && distance(entry, leaf) === 0;
  if (!allowed && tenderAt(crop, leaf) !== undefined) return TENDER_LOSS_FRAC;
  // Before emergence only steel in the ground reaches the crop: a flame passes over it.
  if (leaf < 0) return tool.loosensGroundFrac > 0 ? (crop.blind?.standLossFrac ?? 0) : 0;
  if (entry === undefined) return 0;
  return weedControlFrac === undefined ? entry.standLossFrac : standCostFrac(entry, weedControlFrac);
};
