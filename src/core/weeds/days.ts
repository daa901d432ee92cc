import type { DayNumber } from '../base/day.ts';
import type { KillProfile } from './schema.ts';

/** The state of the field at a pass, as far as it changes what the pass kills. */
export type PassConditions = {
  readonly wetBefore: boolean;
  /** Of the day of the pass or of the next, whichever was more. */
  readonly rainWithinDayMm: number;
  readonly rainSecondDayMm: number;
  readonly residueCoverFrac: number;
  readonly crusted: boolean;
  /** What the drying of the day and the next leaves of the kill by uprooting, 0 to 1; 1 where it dries well. */
  readonly dryingFactor: number;
};

/** What a pass does to the weeds: when, how deep, which kill, under which conditions, and whether it stirs the ground. */
export type WeedPass = {
  readonly day: DayNumber;
  readonly kill: KillProfile;
  readonly conditions: PassConditions;
  /** Share of the ground loosened; 0 for flame, electric, mower and hand pulling. */
  readonly stirsGroundFrac: number;
};

/**
 * One species, a value a day, all on the morning of that day before its passes. Shares are of the seedlings that the
 * species sends up in an undisturbed year; what stirring adds and what grows again from a root may carry a year beyond 1.
 * Cumulative columns start at 0 on the first day of the series and run on through the years.
 * On every morning germinatedFrac = the sum of stockFrac + deadFrac.
 */
export type SpeciesDays = {
  readonly speciesId: string;
  /** What would germinate on each day had nobody stirred the ground: a value a day, not a sum. */
  readonly undisturbedFrac: Float64Array;
  readonly germinatedFrac: Float64Array;
  /** What would have come up if no pass had killed a white thread. Never falls. */
  readonly potentialFrac: Float64Array;
  /** What did come up. Never falls, never above potentialFrac. */
  readonly emergedFrac: Float64Array;
  /** What passes and frost killed, and what was standing when a new weed year began. Never falls. */
  readonly deadFrac: Float64Array;
  /** What lives, in the order of `weedStages`, youngest first. */
  readonly stockFrac: readonly Float64Array[];
  /** On the one morning that was asked for, living seedlings by the day of the series on which they came up. */
  readonly standingFrac: Float64Array;
};

export type WeedDays = {
  readonly startDay: DayNumber;
  readonly days: number;
  readonly species: readonly SpeciesDays[];
};
