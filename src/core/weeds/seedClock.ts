import type { DayNumber } from '../base/day.ts';
import { germinatedShare } from './germination.ts';
import type { EmergenceComponent } from './schema.ts';
import { firstOn, hemisphereMonthDay, latestOn } from './season.ts';

/**
 * A component whose start lies further back than this when the series begins is taken as over until its next start:
 * counting from nothing, a series that begins in January would send up last autumn's seedlings in spring.
 * Default of judgement.
 */
const MOST_LATE_DAYS = 122;

/** The hydrothermal clocks of a species' components, one beside the other. */
export type SeedClock = {
  readonly components: readonly EmergenceComponent[];
  readonly starts: readonly string[];
  /** Days from a component's last start to the first day of the series. */
  readonly lateDays: readonly number[];
  readonly nextStart: Float64Array;
  readonly timeCd: Float64Array;
  readonly share: Float64Array;
  readonly running: Uint8Array;
};

/** The clocks on the first day of a series. @param southern adds six months to the starts */
export const seedClock = (
  components: readonly EmergenceComponent[],
  firstDay: DayNumber,
  southern: boolean,
): SeedClock => {
  const starts = components.map((c) => hemisphereMonthDay(c.start, southern));
  const lateDays = starts.map((start) => firstDay - latestOn(start, firstDay));
  return {
    components,
    starts,
    lateDays,
    nextStart: Float64Array.from(starts, (start) => firstOn(start, firstDay)),
    timeCd: new Float64Array(components.length),
    share: new Float64Array(components.length),
    running: Uint8Array.from(lateDays, (late) => (late <= MOST_LATE_DAYS ? 1 : 0)),
  };
};

/**
 * Runs the clocks through one day and gives the share of the year's seedlings that germinates on it. A component starts
 * anew each year and rests once everything is out.
 * @param heatCd hydrothermal time of the day
 */
export const germinationOfDay = (clock: SeedClock, day: DayNumber, heatCd: number): number => {
  let germinated = 0;
  for (let c = 0; c < clock.components.length; c++) {
    if (clock.nextStart[c] === day) {
      clock.nextStart[c] = firstOn(clock.starts[c], day + 1);
      clock.timeCd[c] = 0;
      clock.share[c] = 0;
      clock.running[c] = 1;
    }
    if (heatCd === 0 || clock.running[c] === 0) continue;
    clock.timeCd[c] += heatCd;
    const share = germinatedShare(clock.timeCd[c], clock.components[c]);
    germinated += clock.components[c].shareFrac * (share - clock.share[c]);
    clock.share[c] = share;
    if (share === 1) clock.running[c] = 0;
  }
  return germinated;
};
