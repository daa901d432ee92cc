import { STAGES } from './stages.ts';

/**
 * The weeds of one species by day: white threads by the day they germinated, seedlings by the day they came up.
 * Both queues move first in, first out, so a pointer at each border is enough and a day costs a few steps.
 */
export type Cohorts = {
  /** Heat sums on the morning of each day, one more than days: elongation in the soil, leaves in the air. */
  readonly elongationCd: Float64Array;
  readonly leafCd: Float64Array;
  /** Germinated on each day; the same less what passes killed before it came up. */
  readonly germinated: Float64Array;
  readonly threads: Float64Array;
  /** Living, by the day of emergence. */
  readonly seedlings: Float64Array;
  /** Living per stage, the sum of the queues. */
  readonly stock: Float64Array;
  /** How many days' seedlings have left each stage; for the last stage, have ended with their weed year. */
  readonly left: Int32Array;
  /** White threads have come up to here: all of the days before `upDay`, and `upFrac` of that day's. */
  upDay: number;
  upFrac: number;
  germinatedSum: number;
  potentialSum: number;
  emergedSum: number;
  deadSum: number;
};

/** Nothing in the ground yet, for a series of so many days. */
export const noCohorts = (days: number): Cohorts => ({
  elongationCd: new Float64Array(days + 1),
  leafCd: new Float64Array(days + 1),
  germinated: new Float64Array(days),
  threads: new Float64Array(days),
  seedlings: new Float64Array(days),
  stock: new Float64Array(STAGES),
  left: new Int32Array(STAGES),
  upDay: 0,
  upFrac: 0,
  germinatedSum: 0,
  potentialSum: 0,
  emergedSum: 0,
  deadSum: 0,
});

/** Counts what germinates on `day`, which stands in `germinated`: after the pass of the morning. */
export const germinate = (c: Cohorts, day: number): void => {
  const amount = c.germinated[day];
  c.threads[day] = amount;
  c.germinatedSum += amount;
  c.stock[0] += amount;
};

/**
 * Brings up on `day` every white thread whose elongation reaches the surface by the evening: emergence(t) is what had
 * germinated at the moment s with E(s) = E(t) - needed. Straight lines within a day make the curve smooth.
 * @param neededCd elongation heat from germination to the surface
 */
export const comeUp = (c: Cohorts, day: number, neededCd: number): void => {
  const reached = c.elongationCd[day + 1] - neededCd;
  let alive = 0;
  while (c.upDay <= day) {
    const k = c.upDay;
    const from = c.elongationCd[k];
    const to = c.elongationCd[k + 1];
    // A cohort that germinated on a day without elongation comes up as one.
    const part = reached >= to ? 1 : reached <= from ? 0 : (reached - from) / (to - from);
    if (part > c.upFrac) {
      alive += c.threads[k] * (part - c.upFrac);
      c.potentialSum += c.germinated[k] * (part - c.upFrac);
      c.upFrac = part;
    }
    if (part < 1) break;
    c.upDay++;
    c.upFrac = 0;
  }
  c.seedlings[day] = alive;
  c.emergedSum += alive;
  c.stock[0] = c.upDay > day ? 0 : Math.max(0, c.stock[0] - alive);
  c.stock[1] += alive;
};

/** On the morning of `day`, moves each day's seedlings on to the stage that their leaf heat has reached. */
export const grow = (c: Cohorts, day: number, endsCd: Float64Array): void => {
  const { leafCd, seedlings, stock, left } = c;
  const heatCd = leafCd[day];
  left[0] = day;
  for (let s = 1; s < STAGES - 1; s++) {
    const until = left[s - 1];
    let k = left[s];
    // A seedling counts its heat from the middle of the day on which it came up.
    while (k < until && heatCd - (leafCd[k] + leafCd[k + 1]) / 2 >= endsCd[s]) {
      stock[s] -= seedlings[k];
      stock[s + 1] += seedlings[k];
      k++;
    }
    left[s] = k;
    // Rounding must not leave a trace of a weed in an empty stage.
    if (k === until || stock[s] < 0) stock[s] = 0;
  }
};

/**
 * A pass on the morning of `day`: of every cohort, the share of its stage dies. Gives what died.
 * @param kill shares, stage by stage, `at` the offset of the first
 */
export const strike = (c: Cohorts, day: number, kill: Float64Array, at: number): number => {
  for (let k = c.upDay; k < day; k++) c.threads[k] *= 1 - kill[at];
  for (let s = 1; s < STAGES; s++) {
    const keep = 1 - kill[at + s];
    if (keep < 1) for (let k = c.left[s]; k < c.left[s - 1]; k++) c.seedlings[k] *= keep;
  }
  let killed = 0;
  for (let s = 0; s < STAGES; s++) {
    killed += c.stock[s] * kill[at + s];
    c.stock[s] *= 1 - kill[at + s];
  }
  c.deadSum += killed;
  return killed;
};

/** What stands on the morning of `day`, by the day on which it came up. */
export const standing = ({ seedlings, left }: Cohorts, day: number): Float64Array =>
  seedlings.slice(0, day).fill(0, 0, left[STAGES - 1]);

/** Ends what stands on the morning of `day`, of frost or with its year; white threads go on. */
export const endYear = (c: Cohorts, day: number): void => {
  for (let s = 1; s < STAGES; s++) {
    c.deadSum += c.stock[s];
    c.stock[s] = 0;
  }
  c.left.fill(day);
};
