import type { WeedDays } from '../weeds/days.ts';
import { STAGES } from '../weeds/stages.ts';

/** Less than this share of the weed year is nothing. */
const NOTHING = 1e-4;

/** What lives on one morning: an entry for each species and stage that holds something. Written in place. */
export type Living = {
  count: number;
  readonly species: Uint16Array;
  readonly stage: Uint8Array;
  /** Place of the entry in a `KillTable`. */
  readonly killAt: Uint16Array;
  /** Share of the species' own weed year, and the same times the species' weight. */
  readonly stockFrac: Float64Array;
  readonly weightedFrac: Float64Array;
};

/** Room for every stage of so many species, nothing living yet. */
export const noLiving = (species: number): Living => ({
  count: 0,
  species: new Uint16Array(species * STAGES),
  stage: new Uint8Array(species * STAGES),
  killAt: new Uint16Array(species * STAGES),
  stockFrac: new Float64Array(species * STAGES),
  weightedFrac: new Float64Array(species * STAGES),
});

/** Fills `living` with the morning of day `index`: species by species, youngest stage first. */
export const readLiving = (living: Living, weeds: WeedDays, weights: readonly number[], index: number): void => {
  let n = 0;
  for (let k = 0; k < weights.length; k++) {
    const { stockFrac } = weeds.species[k];
    for (let s = 0; s < STAGES; s++) {
      const stock = stockFrac[s][index];
      if (stock < NOTHING) continue;
      living.species[n] = k;
      living.stage[n] = s;
      living.killAt[n] = 3 * (k * STAGES + s);
      living.stockFrac[n] = stock;
      living.weightedFrac[n] = weights[k] * stock;
      n++;
    }
  }
  living.count = n;
};
