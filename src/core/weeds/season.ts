import type { Species } from './schema.ts';

/**
 * When a species' weed year begins, MM-DD of the north: with the first component of its main season. What stood until
 * then is dead: a summer annual of frost or age, a winter annual of age, a shoot because the root sends up new ones.
 * Default of judgement.
 */
export const weedYearStart = (species: Species): string => {
  const main = species.lifeForm === 'winterAnnual' ? 'autumn' : 'spring';
  const inMain = species.germination.components.filter((c) => c.season === main);
  const starts = (inMain.length > 0 ? inMain : species.germination.components).map((c) => c.start);
  return starts.sort()[0] as string;
};

/**
 * A lowest temperature at or below this kills what stands of a summer annual, and the shoots of a perennial, in the cold half of
 * its year; seedlings of early species bear as much in spring, so it counts from autumn on. Common practice, no source: a hard freeze.
 */
export const KILLING_FROST_C = -4;

/** So many days before its next year a summer annual is in the half of the year in which frost ends it. */
export const FROST_HALF_DAYS = 183;
