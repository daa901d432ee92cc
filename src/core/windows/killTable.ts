import type { PassConditions } from '../weeds/days.ts';
import { killParts, uprootingFactor } from '../weeds/kill.ts';
import { type KillProfile, type Species, weedStages } from '../weeds/schema.ts';
import { STAGES } from '../weeds/stages.ts';

/** Low, mean and high of what is uprooted, then of what is buried. */
const PARTS = 6;

/**
 * Kills of one implement in one field on a good day, worked out when first asked for: of a field's ground only its crust
 * changes, so a year asks `killParts` a hundred times and not for every day, species and stage.
 */
export type KillTable = {
  readonly profile: KillProfile;
  /** Without and with a crust; species by species, stage by stage, `PARTS` values. NaN where not yet asked. */
  readonly parts: readonly [Float64Array, Float64Array];
};

/** The table of one implement, nothing worked out yet. @param species how many are expected */
export const killTable = (profile: KillProfile, species: number): KillTable => {
  const unknown = () => new Float64Array(species * STAGES * PARTS).fill(Number.NaN);
  return { profile, parts: [unknown(), unknown()] };
};

const fill = (parts: Float64Array, at: number, table: KillTable, kind: Species, stage: number, on: PassConditions) => {
  const { uprooted, buried } = killParts(table.profile, kind, weedStages[stage], on);
  parts.set([uprooted.low, uprooted.mean, uprooted.high, buried.low, buried.mean, buried.high], at);
};

/** Kills under the conditions of one day. */
export type DayKills = { readonly parts: Float64Array; readonly factor: number };

/** What the table holds for a day. */
export const killsOn = ({ profile, parts }: KillTable, conditions: PassConditions): DayKills => ({
  parts: parts[conditions.crusted ? 1 : 0],
  factor: uprootingFactor(profile, conditions),
});

/** Writes low, mean and high of one species and stage on a day to `kills` from index `at` on, its place in `Living`. */
export const readKill = (
  kills: Float64Array,
  at: number,
  table: KillTable,
  { parts, factor }: DayKills,
  kind: Species,
  stage: number,
  conditions: PassConditions,
): void => {
  const from = 2 * at;
  if (Number.isNaN(parts[from])) fill(parts, from, table, kind, stage, conditions);
  kills[at] = parts[from + 3] + factor * parts[from];
  kills[at + 1] = parts[from + 4] + factor * parts[from + 1];
  kills[at + 2] = parts[from + 5] + factor * parts[from + 2];
};
