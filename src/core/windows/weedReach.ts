import type { PassConditions } from '../weeds/days.ts';
import type { KillProfile, Species } from '../weeds/schema.ts';
import { STAGES } from '../weeds/stages.ts';
import { type KillTable, killsOn, readKill } from './killTable.ts';
import type { Living } from './living.ts';

/** A species that is expected, with its density relative to the others. */
export type WeightedSpecies = { readonly species: Species; readonly relativeDensity: number };

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
  /** Low, mean, high of each entry of `Living`, from its `killAt` on. */
  readonly kills: Float64Array;
};

/** A place for `readReach` to write to, nothing reached yet. @param species how many are expected */
export const noReach = (species: number): Reach => ({
  aliveFrac: 0,
  youngFrac: 0,
  low: 0,
  mean: 0,
  high: 0,
  kills: new Float64Array(species * STAGES * 3),
});

/** Fills `reach` with what a pass kills of what lives. */
export const readReach = (
  reach: Reach,
  table: KillTable,
  conditions: PassConditions,
  expected: readonly WeightedSpecies[],
  living: Living,
): void => {
  const { kills } = reach;
  const today = killsOn(table, conditions);
  let alive = 0;
  let young = 0;
  let low = 0;
  let mean = 0;
  let high = 0;
  for (let n = 0; n < living.count; n++) {
    const at = living.killAt[n];
    readKill(kills, at, table, today, expected[living.species[n]].species, living.stage[n], conditions);
    const weighted = living.weightedFrac[n];
    alive += weighted;
    if (living.stage[n] < 2) young += weighted;
    low += weighted * kills[at];
    mean += weighted * kills[at + 1];
    high += weighted * kills[at + 2];
  }
  reach.aliveFrac = alive;
  reach.youngFrac = young;
  reach.low = low;
  reach.mean = mean;
  reach.high = high;
};

/** A tool whose kill falls below half once weeds have three leaves lives off white threads and cotyledons. */
export const killsOnlyYoung = ({ zones }: KillProfile): boolean =>
  zones.every(
    ({ broadleaf }) => broadleaf.whiteThread.mean > 0 && broadleaf.leaf3To4.mean < broadleaf.whiteThread.mean / 2,
  );
