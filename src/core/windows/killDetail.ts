import { sixDigits } from '../base/numbers.ts';
import { weedStages } from '../weeds/schema.ts';
import { STAGES } from '../weeds/stages.ts';
import type { Living } from './living.ts';
import type { WindowDay } from './schema.ts';
import type { Reach, WeightedSpecies } from './weedReach.ts';

type Sum = { stockFrac: number; low: number; mean: number; high: number };

/** Adds something that lives, and what is killed of it, to one of `sums`. */
const add = (sums: Sum[], at: number, stockFrac: number, kills: Float64Array, killAt: number): void => {
  sums[at] ??= { stockFrac: 0, low: 0, mean: 0, high: 0 };
  const sum = sums[at];
  sum.stockFrac += stockFrac;
  sum.low += stockFrac * kills[killAt];
  sum.mean += stockFrac * kills[killAt + 1];
  sum.high += stockFrac * kills[killAt + 2];
};

/** Share killed of what lives. */
export const killOf = (stockFrac: number, low: number, mean: number, high: number): WindowDay['kill'] =>
  stockFrac > 0
    ? { low: sixDigits(low / stockFrac), mean: sixDigits(mean / stockFrac), high: sixDigits(high / stockFrac) }
    : { low: 0, mean: 0, high: 0 };

const killIn = ({ stockFrac, low, mean, high }: Sum): WindowDay['kill'] => killOf(stockFrac, low, mean, high);

/** The kill in `reach` by stage, all species weighted, and by species on its own; what hardly lives is left out. */
export const killDetail = (
  reach: Reach,
  living: Living,
  expected: readonly WeightedSpecies[],
): Pick<WindowDay, 'byStage' | 'bySpecies'> => {
  const stages: Sum[] = new Array(STAGES);
  const kinds: Sum[] = new Array(expected.length);
  for (let n = 0; n < living.count; n++) {
    add(stages, living.stage[n], living.weightedFrac[n], reach.kills, living.killAt[n]);
    add(kinds, living.species[n], living.stockFrac[n], reach.kills, living.killAt[n]);
  }
  const byStage: WindowDay['byStage'] = [];
  // Arrays with holes: forEach passes them over.
  stages.forEach((sum, s) => {
    byStage.push({ stage: weedStages[s], stockFrac: sixDigits(sum.stockFrac), kill: killIn(sum) });
  });
  const bySpecies: WindowDay['bySpecies'] = [];
  kinds.forEach((sum, k) => {
    bySpecies.push({
      species: expected[k].species.id,
      kill: killIn(sum),
      leftFrac: sixDigits(sum.stockFrac - sum.mean),
    });
  });
  return { byStage, bySpecies };
};
