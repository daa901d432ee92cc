import type { PassConditions } from './days.ts';
import type { KillProfile, Species, WeedStage } from './schema.ts';

export type Kill = { readonly low: number; readonly mean: number; readonly high: number };
export type KilledKind = Pick<Species, 'group' | 'seedSize' | 'lifeForm'>;

/** Rain that undoes a pass, mm a day. Default of judgement. */
export const UNDOING_RAIN_MM = 5;
/** Residue above this share of the ground carries the tool. Gunsolus 1990: hoes do not work on more than 20-30 %. */
const MOST_RESIDUE_FRAC = 0.3;

/** What wet soil before and rain after leave of the kill of a tool that uproots. */
const wetFactor = (profile: KillProfile, at: PassConditions): number => {
  let factor = at.wetBefore ? profile.wetBeforeFactor : 1;
  if (at.rainNextDayMm >= UNDOING_RAIN_MM) factor *= profile.rainNextDayFactor;
  if (at.rainSecondDayMm >= UNDOING_RAIN_MM) factor *= profile.rainSecondDayFactor;
  return Math.max(factor, profile.wetFloorFactor);
};

/** What the species and the ground leave of the kill, whatever the tool does. */
const steadyFactor = (profile: KillProfile, kind: KilledKind, at: PassConditions): number =>
  (kind.seedSize === 'large' ? profile.largeSeedFactor : 1) *
  (kind.lifeForm === 'perennialShoot' ? profile.perennialFactor : 1) *
  (at.residueCoverFrac > MOST_RESIDUE_FRAC ? profile.residueFactor : 1) *
  (at.crusted ? profile.crustFactor : 1);

/**
 * Share of a species' weeds in one stage that a pass kills: sum over zones of ground share x kill x factors. Weeds stand
 * evenly over the ground. Wet soil and rain weaken a zone that uproots, never one that buries, and never below the
 * profile's floor: Lovely, Weber & Staniforth 1958 for the wet factors, Merfield 2018 for burial.
 * @param at the state of the field at the pass
 * @example killFrac(hoe, lambsquarters, 'whiteThread', dry) // { low: 0.55, mean: 0.75, high: 0.9 }
 */
export const killFrac = (profile: KillProfile, kind: KilledKind, stage: WeedStage, at: PassConditions): Kill => {
  const steady = steadyFactor(profile, kind, at);
  const wet = wetFactor(profile, at);
  let low = 0;
  let mean = 0;
  let high = 0;
  for (const zone of profile.zones) {
    const share = zone.groundFrac * steady * (zone.buries ? 1 : wet);
    const kill = zone[kind.group][stage];
    low += share * kill.low;
    mean += share * kill.mean;
    high += share * kill.high;
  }
  return { low, mean, high };
};
