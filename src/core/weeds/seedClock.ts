import type { DayNumber } from '../base/day.ts';
import { firstOn, hemisphereMonthDay, latestOn } from '../base/season.ts';
import { germinatedShare } from './germination.ts';
import type { EmergenceComponent } from './schema.ts';

/**
 * A component whose start lies further back than this when the series begins is taken as over until its next start:
 * counting from nothing, a series that begins in January would send up last autumn's seedlings in spring.
 * Default of judgement.
 */
const MOST_LATE_DAYS = 122;

/** Whether a component counts heat from the first day of a series on, or only from its next start. @param start MM-DD there */
export const countsFromFirstDay = (start: string, firstDay: DayNumber): boolean =>
  firstDay - latestOn(start, firstDay) <= MOST_LATE_DAYS;

/** Adds one run of a component, from the day of its start until everything is out or `until`. */
const addRun = (
  out: Float64Array,
  component: EmergenceComponent,
  heatCd: Float64Array,
  from: number,
  until: number,
): void => {
  let timeCd = 0;
  let share = 0;
  for (let i = from; i < until && share < 1; i++) {
    if (heatCd[i] === 0) continue;
    timeCd += heatCd[i];
    const now = germinatedShare(timeCd, component);
    out[i] += component.shareFrac * (now - share);
    share = now;
  }
};

/** Adds one component, which starts anew each year. @param start MM-DD there */
const addComponent = (
  out: Float64Array,
  component: EmergenceComponent,
  start: string,
  heatCd: Float64Array,
  firstDay: DayNumber,
): void => {
  const startFrom = (day: DayNumber): number => Math.min(heatCd.length, firstOn(start, day) - firstDay);
  let from = countsFromFirstDay(start, firstDay) ? 0 : startFrom(firstDay);
  while (from < heatCd.length) {
    const next = startFrom(firstDay + from + 1);
    addRun(out, component, heatCd, from, next);
    from = next;
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
