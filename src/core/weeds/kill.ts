import type { PassConditions } from './days.ts';
import type { KillProfile, Species, WeedStage } from './schema.ts';

export type Kill = { readonly low: number; readonly mean: number; readonly high: number };
export type KilledKind = Pick<Species, 'group' | 'seedSize' | 'lifeForm'>;

/** Rain that undoes a pass, mm a day. Default of judgement. */
export const UNDOING_RAIN_MM = 5;
/** Residue above this share of the ground carries the tool. Gunsolus 1990: hoes do not work on more than 20-30 %. */
const MOST_RESIDUE_FRAC = 0.3;

/**
 * What wet soil before, rain after and poor drying leave of the kill by uprooting, never less than the profile's floor:
 * 1 for a tool that does not uproot.
 * @example uprootingFactor(hoe, { ...dry, wetBefore: true }) // 0.36
 */
export const uprootingFactor = (profile: KillProfile, at: PassConditions): number => {
  let factor = at.dryingFactor;
  if (at.wetBefore) factor *= profile.wetBeforeFactor;
  if (at.rainWithinDayMm >= UNDOING_RAIN_MM) factor *= profile.rainNextDayFactor;
  if (at.rainSecondDayMm >= UNDOING_RAIN_MM) factor *= profile.rainSecondDayFactor;
  return Math.max(factor, profile.wetFloorFactor);
};

/** The ground under a pass, as far as it weakens the kill whatever the tool does. */
export type KillGround = Pick<PassConditions, 'residueCoverFrac' | 'crusted'>;

/** What the species and the ground leave of the kill, whatever the tool does. */
const steadyFactor = (profile: KillProfile, kind: KilledKind, at: KillGround): number =>
  (kind.seedSize === 'large' ? profile.largeSeedFactor : 1) *
  (kind.lifeForm === 'perennialShoot' ? profile.perennialFactor : 1) *
  (at.residueCoverFrac > MOST_RESIDUE_FRAC ? profile.residueFactor : 1) *
  (at.crusted ? profile.crustFactor : 1);

/** What zones that bury kill, or those that do not, on a day that takes nothing off: sum of ground share x kill x factors. */
const killIn = (profile: KillProfile, kind: KilledKind, stage: WeedStage, at: KillGround, buries: boolean): Kill => {
  const steady = steadyFactor(profile, kind, at);
  const sum = { low: 0, mean: 0, high: 0 };
  for (const zone of profile.zones) {
    if (zone.buries !== buries) continue;
    const share = zone.groundFrac * steady;
    const kill = zone[kind.group][stage];
    sum.low += share * kill.low;
    sum.mean += share * kill.mean;
    sum.high += share * kill.high;
  }
  return sum;
};

/** A pass kills by uprooting, which the weather weakens, and by burial, which it does not; each alone on a good day. */
export const killParts = (
  profile: KillProfile,
  kind: KilledKind,
  stage: WeedStage,
  at: KillGround,
): { readonly uprooted: Kill; readonly buried: Kill } => ({
  uprooted: killIn(profile, kind, stage, at, false),
  buried: killIn(profile, kind, stage, at, true),
});

/**
 * Share of a species' weeds in one stage that a pass kills: sum over zones of ground share x kill x factors. Weeds stand
 * evenly over the ground. Wet soil, rain and poor drying weaken a zone that uproots, never one that buries, and never below
 * the profile's floor: Lovely, Weber & Staniforth 1958 for the wet factors, Kurstjens & Kropff 2001 that moisture decides
 * whether what is uprooted dies, Merfield 2018 for burial.
 * @param at the state of the field at the pass
 * @example killFrac(hoe, lambsquarters, 'whiteThread', dry) // { low: 0.55, mean: 0.75, high: 0.9 }
 */
export const killFrac = (profile: KillProfile, kind: KilledKind, stage: WeedStage, at: PassConditions): Kill => {
  const { uprooted, buried } = killParts(profile, kind, stage, at);
  const factor = uprootingFactor(profile, at);
  return {
    low: buried.low + factor * uprooted.low,
    mean: buried.mean + factor * uprooted.mean,
    high: buried.high + factor * uprooted.high,
  };
};
