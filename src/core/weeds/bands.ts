import { interpolated } from '../base/numbers.ts';
import type { Species } from './schema.ts';

/** The dates behind the constants come from between these latitudes. */
export const KNOWN_FROM_DEG = 39;
export const KNOWN_TO_DEG = 47;
/** South of them the model was 6 days early on average; no figure for the far north, so the same. */
export const BEYOND_DAYS = 6;

/** Whether a place lies outside those latitudes, in either hemisphere. @example beyondEvidence(-35) // true */
export const beyondEvidence = (latitudeDeg: number): boolean =>
  Math.abs(latitudeDeg) < KNOWN_FROM_DEG || Math.abs(latitudeDeg) > KNOWN_TO_DEG;

/**
 * By how many days either way a date of emergence may be off: the species' uncertainty for that percentile where its
 * dates come from, what another place adds, and 6 days more below 39 or above 47 degrees. Independent parts add as
 * squares: u = sqrt(p^2 + (elsewhere^2 - p50^2) + beyond^2), in whole days, rounded up.
 * Source: errors of 60 outside dates, MAE 9 d; the rule itself is a default of judgement.
 * @param shareFrac how much has come up, 0 to 1; straight lines between 10, 50 and 90 %
 * @param latitudeDeg north positive
 */
export const plusMinusDays = (
  { uncertaintyDays: u }: Pick<Species, 'uncertaintyDays'>,
  shareFrac: number,
  latitudeDeg: number,
): number => {
  const own = interpolated(
    [
      [0.1, u.p10],
      [0.5, u.p50],
      [0.9, u.p90],
    ],
    shareFrac,
  );
  const elsewhere = Math.max(0, u.elsewhere ** 2 - u.p50 ** 2);
  const beyond = beyondEvidence(latitudeDeg) ? BEYOND_DAYS : 0;
  return Math.ceil(Math.sqrt(own ** 2 + elsewhere + beyond ** 2));
};
