import { HAND_CREW } from '../core/windows/best.ts';
import type { ShownWindowDay } from '../service/schema.ts';

const LEGEND =
  'kill: share of the living weeds that the pass is expected to kill; left: share of the year’s seedlings still alive after it; stand lost: crop plants the pass costs, and the yield where it covers a crop with soil; score: 0 to 100, what it saves of this year’s yield, ranks days and tools of one field; within half a point the earlier day is best; white thread of a flush: the days with at least 80 % of its most.';

const OF_CREWS = ' Best is a machine wherever one can go: a crew kills nearly everything and costs most.';

/** What the columns of windows mean, whatever asked for them. */
export const legend = (days: readonly Pick<ShownWindowDay, 'implement'>[]): string =>
  LEGEND + (days.some(({ implement }) => implement === HAND_CREW) ? OF_CREWS : '');
