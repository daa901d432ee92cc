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

/** Whether a component counts heat from the first day of a series on, or only from its next start. @param start MM-DD there */
export const countsFromFirstDay = (start: string, firstDay: DayNumber): boolean =>
  firstDay - latestOn(start, firstDay) <= MOST_LATE_DAYS;

/** Adds one component: it starts anew each year and rests once everything is out. */
const addComponent = (
  out: Float64Array,
  component: EmergenceComponent,
  start: string,
  heatCd: Float64Array,
  firstDay: DayNumber,
): void => {
  let next = firstOn(start, firstDay) - firstDay;
  let running = countsFromFirstDay(start, firstDay);
  let timeCd = 0;
  let share = 0;
  for (let i = 0; i < heatCd.length; i++) {
    if (i === next) {
      next = firstOn(start, firstDay + i + 1) - firstDay;
      timeCd = 0;
      share = 0;
      running = true;
    }
    if (!running || heatCd[i] === 0) continue;
    timeCd += heatCd[i];
    const now = germinatedShare(timeCd, component);
    out[i] += component.shareFrac * (now - share);
    share = now;
    running = now < 1;
  }
};

/**
 * Share of an undisturbed year's seedlings that germinates on each day, all components together.
 * @param heatCd hydrothermal time of each day, C d
 * @param southern adds six months to the components' starts
 */
export const germinationDays = (
  components: readonly EmergenceComponent[],
  heatCd: Float64Array,
  firstDay: DayNumber,
  southern: boolean,
): Float64Array => {
  const out = new Float64Array(heatCd.length);
  for (const component of components)
    addComponent(out, component, hemisphereMonthDay(component.start, southern), heatCd, firstDay);
  return out;
};
