import { median } from 'simple-statistics';
import { monthDayIn, yearOf } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import type { SoilDays } from '../soil/days.ts';
import { germinationTimeCd } from './germination.ts';
import { type ClockedSpecies, type HeatSums, heatSums, momentOf, sumAt } from './heatSums.ts';
import { nelderMead } from './nelderMead.ts';

/** When 2, 10, 50 and 90 % are up in the middle one of many years, MM-DD of the north; null where not known. */
export type TargetDates = {
  readonly p2: string | null;
  readonly p10: string | null;
  readonly p50: string | null;
  readonly p90: string | null;
};

export type Derived = {
  readonly lagCd: number;
  readonly scaleCd: number;
  readonly shape: number;
  /** Days by which the middle year of the derived curve is late (+) or early (-), at 2, 10, 50 and 90 %; null without a target. */
  readonly errorDays: readonly (number | null)[];
};

export type Curve = Pick<Derived, 'lagCd' | 'scaleCd' | 'shape'>;

const shares = [0.02, 0.1, 0.5, 0.9] as const;
/** How much an error in days counts at each share: the first seedlings are few and badly dated. Default of judgement. */
const weights = [0.5, 1.2, 1.5, 1] as const;
/** The lag lies at most this part of the way from first to 10 %: a longer one makes a wall of a tail. */
const LAG_BEYOND_FIRST = 0.15;
const SHAPE_FROM = 0.5;
const SHAPE_TO = 8;
/** The search starts at each of these, because it may stop at a hollow on its way. */
const FIRST_SHAPES = [1.2, 2, 3.5];

/** One year of the reference place: the moment the heat begins to count, and the middle of each target date. */
type Year = { readonly start: number; readonly targets: readonly (number | null)[] };

const yearsOf = (soil: SoilDays, start: string, dates: TargetDates): Year[] => {
  const end = soil.startDay + soil.days;
  const years: Year[] = [];
  for (let year = yearOf(soil.startDay); year <= yearOf(end); year++) {
    const first = monthDayIn(year, start);
    const targets = [dates.p2, dates.p10, dates.p50, dates.p90].map((date) =>
      date === null ? null : monthDayIn(date < start ? year + 1 : year, date) - soil.startDay + 0.5,
    );
    if (first >= soil.startDay && targets.every((target) => target === null || target < soil.days))
      years.push({ start: first - soil.startDay, targets });
  }
  return years;
};

/** Hydrothermal time since the start at which that must germinate which is to be up at `moment`: back through the elongation. */
const timeAtEmergence = (sums: HeatSums, start: number, moment: number): number => {
  const germinated = momentOf(sums.elongationCd, sumAt(sums.elongationCd, moment) - sums.neededCd);
  return Math.max(0, sumAt(sums.timeCd, germinated) - sumAt(sums.timeCd, start));
};

/** The moment at which that is up which germinates at a hydrothermal time since the start. */
const emergenceMoment = (sums: HeatSums, start: number, timeCd: number): number => {
  const germinated = momentOf(sums.timeCd, sumAt(sums.timeCd, start) + timeCd);
  return momentOf(sums.elongationCd, sumAt(sums.elongationCd, Math.max(start, germinated)) + sums.neededCd);
};

/** Over the years that have the target; NaN without one. */
const medianTimeCd = (sums: HeatSums, years: readonly Year[], which: number): number => {
  const times = years.flatMap(({ start, targets }) => {
    const target = targets[which] ?? null;
    return target === null ? [] : [timeAtEmergence(sums, start, target)];
  });
  return times.length === 0 ? Number.NaN : median(times);
};

const medianErrorDays = (sums: HeatSums, years: readonly Year[], which: number, timeCd: number): number | null => {
  const errors = years.flatMap(({ start, targets }) => {
    const target = targets[which] ?? null;
    return target === null ? [] : [emergenceMoment(sums, start, timeCd) - target];
  });
  return errors.length === 0 ? null : median(errors);
};

const errorsOf = (sums: HeatSums, years: readonly Year[], curve: Curve): (number | null)[] =>
  shares.map((share, which) => medianErrorDays(sums, years, which, germinationTimeCd(share, curve)));

/**
 * Days by which the middle year of a component is late (+) or early (-) on its target dates, at 2, 10, 50 and 90 %; null
 * where there is no target.
 * @param soil, `start` and `dates` as for `derivedCurve`
 */
export const targetErrorDays = (
  soil: SoilDays,
  species: ClockedSpecies,
  component: Curve & { readonly start: string },
  dates: TargetDates,
): (number | null)[] => errorsOf(heatSums(soil, species), yearsOf(soil, component.start, dates), component);

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));
const logit = (p: number): number => Math.log(p / (1 - p));
const shapePart = (shape: number): number => (shape - SHAPE_FROM) / (SHAPE_TO - SHAPE_FROM);

/**
 * Turns three free numbers around 0 into a curve: the lag within its limit, the scale above 0, the shape within its range.
 * @param timesCd hydrothermal time at the target dates
 */
const curveFrom = (x: readonly number[], timesCd: readonly number[], shape: number): Curve => {
  const [u, v, w] = x as [number, number, number];
  const [first, tenth, half] = timesCd as [number, number, number];
  const mostLagCd = first + LAG_BEYOND_FIRST * (tenth - first);
  return {
    lagCd: mostLagCd * logistic(u),
    scaleCd: Math.max(1, half - mostLagCd / 2) * Math.exp(v),
    shape: SHAPE_FROM + (SHAPE_TO - SHAPE_FROM) * logistic(logit(shapePart(shape)) + w),
  };
};

/** As many digits as the evidence can carry, and more. */
const tidy = ({ lagCd, scaleCd, shape }: Curve): Curve => ({
  lagCd: rounded(lagCd, 0),
  scaleCd: rounded(scaleCd, 0),
  shape: rounded(shape, 2),
});

/**
 * Lag, scale and shape with which a component meets its target dates at a reference place, with the soil model as it
 * stands: the errors in days of the middle year at 2, 10, 50 and 90 %, squared and weighted, are made least.
 * It is germination that is derived; the way up through the soil is the elongation clock's.
 * @param soil many years at the place the dates belong to, in the north
 * @param start MM-DD from which heat counts
 * @param dates with p10 and p50 at least
 */
export const derivedCurve = (soil: SoilDays, species: ClockedSpecies, start: string, dates: TargetDates): Derived => {
  const sums = heatSums(soil, species);
  const years = yearsOf(soil, start, dates);
  const timesCd = shares.map((_, which) => medianTimeCd(sums, years, which));
  // Without a date for the first, it may be as early as the start.
  if (dates.p2 === null) timesCd[0] = 0;
  const errors = (curve: Curve) => errorsOf(sums, years, curve);
  const loss = (curve: Curve): number =>
    errors(curve).reduce<number>((sum, error, which) => sum + (weights[which] as number) * (error ?? 0) ** 2, 0);
  const curves = FIRST_SHAPES.map((shape) => {
    const curve = (x: readonly number[]) => curveFrom(x, timesCd, shape);
    return tidy(curve(nelderMead((x) => loss(curve(x)), [0, 0, 0], 0.5, 600)));
  });
  const best = curves.reduce((a, b) => (loss(b) < loss(a) ? b : a));
  return { ...best, errorDays: errors(best) };
};
