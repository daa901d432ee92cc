import type { WeedDays } from '../weeds/days.ts';
import { weedStages } from '../weeds/schema.ts';
import { STAGES } from '../weeds/stages.ts';
import type { WindowDay } from './schema.ts';
import { NOTHING, type Reach } from './weedReach.ts';

type Detail = Pick<WindowDay, 'byStage' | 'bySpecies'>;
type Block = {
  readonly fromSpecies: number;
  readonly toSpecies: number;
  readonly fromStage: number;
  readonly toStage: number;
};

/** What lives in a block of species and stages and the share of it killed; null where hardly anything lives. */
const blockKill = (reach: Reach, weights: readonly number[] | null, weeds: WeedDays, index: number, block: Block) => {
  let stockFrac = 0;
  let low = 0;
  let mean = 0;
  let high = 0;
  for (let k = block.fromSpecies; k < block.toSpecies; k++) {
    for (let s = block.fromStage; s < block.toStage; s++) {
      const stock = weeds.species[k].stockFrac[s][index];
      if (stock < NOTHING) continue;
      const weighted = stock * (weights?.[k] ?? 1);
      const at = 3 * (k * STAGES + s);
      stockFrac += weighted;
      low += weighted * reach.kills[at];
      mean += weighted * reach.kills[at + 1];
      high += weighted * reach.kills[at + 2];
    }
  }
  if (stockFrac < NOTHING) return null;
  return { stockFrac, kill: { low: low / stockFrac, mean: mean / stockFrac, high: high / stockFrac } };
};

/** The kill in `reach` by stage, all species weighted, and by species on its own; what hardly lives is left out. */
export const killDetail = (reach: Reach, weights: readonly number[], weeds: WeedDays, index: number): Detail => {
  const byStage: Detail['byStage'] = [];
  for (let s = 0; s < STAGES; s++) {
    const block = { fromSpecies: 0, toSpecies: weights.length, fromStage: s, toStage: s + 1 };
    const sum = blockKill(reach, weights, weeds, index, block);
    if (sum !== null) byStage.push({ stage: weedStages[s], stockFrac: sum.stockFrac, kill: sum.kill });
  }
  const bySpecies: Detail['bySpecies'] = [];
  for (let k = 0; k < weights.length; k++) {
    const block = { fromSpecies: k, toSpecies: k + 1, fromStage: 0, toStage: STAGES };
    const sum = blockKill(reach, null, weeds, index, block);
    if (sum === null) continue;
    const leftFrac = sum.stockFrac * (1 - sum.kill.mean);
    bySpecies.push({ species: weeds.species[k].speciesId, kill: sum.kill, leftFrac });
  }
  return { byStage, bySpecies };
};
