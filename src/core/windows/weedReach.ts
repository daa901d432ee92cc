import type { PassConditions, WeedDays } from '../weeds/days.ts';
import { killFrac } from '../weeds/kill.ts';
import { type KillProfile, type Species, weedStages } from '../weeds/schema.ts';
import { STAGES } from '../weeds/stages.ts';

/** A species that is expected, with its density relative to the others. */
export type WeightedSpecies = { readonly species: Species; readonly relativeDensity: number };

/** Less than this share of the weed year is nothing. */
export const NOTHING = 1e-4;

/**
 * Weight of each species, together 1: density x competitive index, so that a share killed counts as harm avoided. Density
 * alone where no species competes.
 */
export const harmWeights = (expected: readonly WeightedSpecies[]): number[] => {
  const harm = expected.map(({ species, relativeDensity }) => relativeDensity * species.competitiveIndex);
  const weights = harm.some((w) => w > 0) ? harm : expected.map(({ relativeDensity }) => relativeDensity);
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / sum);
};

/** What a pass on one day reaches, all species weighted, as shares of the weed year. Written in place. */
export type Reach = {
  aliveFrac: number;
  /** White threads and cotyledons. */
  youngFrac: number;
  low: number;
  mean: number;
  high: number;
  /** Kill of each species and stage where some live: low, mean, high. */
  readonly kills: Float64Array;
};

export const noReach = (species: number): Reach => ({
  aliveFrac: 0,
  youngFrac: 0,
  low: 0,
  mean: 0,
  high: 0,
  kills: new Float64Array(species * STAGES * 3),
});

/** Fills `reach` with what a pass kills on the morning of day `index`. */
export const reachOn = (
  reach: Reach,
  profile: KillProfile,
  conditions: PassConditions,
  expected: readonly WeightedSpecies[],
  weights: readonly number[],
  weeds: WeedDays,
  index: number,
): void => {
  reach.aliveFrac = reach.youngFrac = reach.low = reach.mean = reach.high = 0;
  for (let k = 0; k < expected.length; k++) {
    const { stockFrac } = weeds.species[k];
    for (let s = 0; s < STAGES; s++) {
      const stock = stockFrac[s][index];
      if (stock < NOTHING) continue;
      const kill = killFrac(profile, expected[k].species, weedStages[s], conditions);
      const at = 3 * (k * STAGES + s);
      reach.kills[at] = kill.low;
      reach.kills[at + 1] = kill.mean;
      reach.kills[at + 2] = kill.high;
      const weighted = weights[k] * stock;
      reach.aliveFrac += weighted;
      if (s < 2) reach.youngFrac += weighted;
      reach.low += weighted * kill.low;
      reach.mean += weighted * kill.mean;
      reach.high += weighted * kill.high;
    }
  }
};

/** A tool whose kill falls below half once weeds have three leaves lives off white threads and cotyledons. */
export const killsOnlyYoung = ({ zones }: KillProfile): boolean =>
  zones.every(
    ({ broadleaf }) => broadleaf.whiteThread.mean > 0 && broadleaf.leaf3To4.mean < broadleaf.whiteThread.mean / 2,
  );
