import type { Crop, Tolerance } from '../crop/schema.ts';

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

/** The tender stage that the crop is in, undefined when in none. */
export const tenderAt = (crop: Crop, leaf: number): Crop['tender'][number] | undefined =>
  crop.tender.find(({ fromLeaf, toLeaf }) => leaf >= fromLeaf && leaf < toLeaf);

/** Share of the stand that one pass costs, allowed or not; 0 before planting (leaf NaN). */
export const standLossFrac = (crop: Crop, implementId: string, leaf: number): number => {
  if (Number.isNaN(leaf)) return 0;
  const entry = toleranceAt(crop, implementId, leaf);
  const allowed = leaf < 0 ? crop.blind?.implements.includes(implementId) : entry && distance(entry, leaf) === 0;
  if (!allowed && tenderAt(crop, leaf) !== undefined) return TENDER_LOSS_FRAC;
  return (leaf < 0 ? crop.blind?.standLossFrac : entry?.standLossFrac) ?? 0;
};
