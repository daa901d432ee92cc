import type { WindowDay } from './schema.ts';
import { ALIKE_POINTS } from './score.ts';

/** The implement that is people. */
export const HAND_CREW = 'hand-crew';

/** The day and implement to go with first. */
export type BestPass = Pick<WindowDay, 'date' | 'implement' | 'score'>;

/**
 * The open day and implement with the highest score; of days alike the earlier one, of tools on it the better. A crew
 * kills nearly everything and costs most, so a machine goes first.
 * @param days of any implements, in any order
 * @returns null where nothing is open that saves more than it costs (score 0)
 */
export const bestPass = (
  days: readonly Pick<WindowDay, 'date' | 'implement' | 'open' | 'score'>[],
): BestPass | null => {
  const worth = days.filter(({ open, score }) => open && score > 0);
  const machines = worth.filter(({ implement }) => implement !== HAND_CREW);
  const candidates = machines.length > 0 ? machines : worth;
  const most = candidates.reduce((highest, { score }) => Math.max(highest, score), 0);
  const [best] = candidates
    .filter(({ score }) => score >= most - ALIKE_POINTS)
    .toSorted((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : b.score - a.score));
  return best === undefined ? null : { date: best.date, implement: best.implement, score: best.score };
};
