import type { Crop, Tolerance } from '../crop/schema.ts';
import { tenderAt } from '../crop/stage.ts';
import { type CropCost, noCost, standCost, toleranceCost } from '../crop/standCost.ts';
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
 * What one pass costs a crop, allowed or not; nothing before planting (leaf NaN).
 * @param weedControlFrac share of the living weeds that the pass kills
 */
export const passCost = (
  crop: Crop,
  tool: Pick<Implement, 'id' | 'loosensGroundFrac'>,
  leaf: number,
  weedControlFrac: number,
): CropCost => {
  if (Number.isNaN(leaf)) return noCost;
  const entry = toleranceAt(crop, tool.id, leaf);
  const allowed = leaf < 0 ? crop.blind?.implements.includes(tool.id) : entry && distance(entry, leaf) === 0;
  if (!allowed && tenderAt(crop, leaf) !== undefined) return standCost(TENDER_LOSS_FRAC);
  // Before emergence only steel in the ground reaches the crop: a flame passes over it.
  if (leaf < 0) return standCost(tool.loosensGroundFrac > 0 ? (crop.blind?.standLossFrac ?? 0) : 0);
  return entry === undefined ? noCost : toleranceCost(entry, weedControlFrac);
};
