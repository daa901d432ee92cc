import type { PassConditions } from '../weeds/days.ts';
import { killFrac, UNDOING_RAIN_MM } from '../weeds/kill.ts';
import { type KillProfile, type Species, weedStages } from '../weeds/schema.ts';
import { STAGES } from '../weeds/stages.ts';

/**
 * Kills of one implement in one field, worked out when first asked for. `killFrac` tells 16 classes of conditions apart
 * on a field, so a year asks it a few hundred times and not for every day, species and stage.
 */
export type KillTable = {
  readonly profile: KillProfile;
  /** By class of conditions; species by species, stage by stage: low, mean, high. NaN where not yet asked. */
  readonly byClass: (Float64Array | undefined)[];
};

/** The table of one implement, nothing worked out yet. */
export const killTable = (profile: KillProfile): KillTable => ({ profile, byClass: new Array(16) });

const conditionClass = (at: PassConditions): number =>
  (at.wetBefore ? 1 : 0) +
  (at.rainNextDayMm >= UNDOING_RAIN_MM ? 2 : 0) +
  (at.rainSecondDayMm >= UNDOING_RAIN_MM ? 4 : 0) +
  (at.crusted ? 8 : 0);

/** The kills under these conditions, as far as they were asked for. */
export const killsUnder = ({ byClass }: KillTable, conditions: PassConditions, species: number): Float64Array => {
  const at = conditionClass(conditions);
  byClass[at] ??= new Float64Array(species * STAGES * 3).fill(Number.NaN);
  return byClass[at];
};

/** Works out the kill of one species and stage and writes it to `kills` from index `at` on. */
export const fillKill = (
  kills: Float64Array,
  at: number,
  profile: KillProfile,
  species: Species,
  stage: number,
  conditions: PassConditions,
): void => {
  const kill = killFrac(profile, species, weedStages[stage], conditions);
  kills[at] = kill.low;
  kills[at + 1] = kill.mean;
  kills[at + 2] = kill.high;
};
