/** A wave of a daily rate: first, highest and last day as indices, and how much came in it. */
export type Wave = { readonly from: number; readonly peak: number; readonly to: number; readonly sum: number };

/** A day belongs to a wave above this rate a day, or above this share of the highest rate. All defaults of judgement. */
const LEAST_RATE = 0.0005;
const LEAST_OF_PEAK = 0.05;
/** Two waves are told apart by a valley below this share of the lower peak, at least so many days long. */
const VALLEY_OF_PEAK = 0.65;
const VALLEY_DAYS = 2;
/** A wave with less than this share of the sum joins a neighbour at most so many days away, or is left out. */
const LEAST_SHARE = 0.05;
const FARTHEST_DAYS = 14;

/** Mean of the day before, the day and the day after; at the ends of what there is. */
const centredMean = (rate: Float64Array): Float64Array =>
  rate.map((r, i) => {
    const before = rate[Math.max(0, i - 1)];
    const after = rate[Math.min(rate.length - 1, i + 1)];
    return (before + r + after) / 3;
  });

/** Where the valley between two peaks is lowest, or -1 when it is too shallow or too short to part them. */
const valley = (smooth: Float64Array, peak: number, next: number): number => {
  const limit = VALLEY_OF_PEAK * Math.min(smooth[peak], smooth[next]);
  let lowest = peak;
  let low = 0;
  let longest = 0;
  for (let i = peak + 1; i < next; i++) {
    low = smooth[i] < limit ? low + 1 : 0;
    longest = Math.max(longest, low);
    if (smooth[i] < smooth[lowest]) lowest = i;
  }
  return longest >= VALLEY_DAYS ? lowest : -1;
};

/** Parts one active stretch at its valleys. */
const parted = (smooth: Float64Array, from: number, to: number): Omit<Wave, 'sum'>[] => {
  const waves: Omit<Wave, 'sum'>[] = [];
  let start = from;
  let peak = from;
  for (let i = from + 1; i <= to; i++) {
    const isPeak = smooth[i] > smooth[i - 1] && (i === to || smooth[i] >= smooth[i + 1]);
    if (!isPeak) continue;
    const cut = valley(smooth, peak, i);
    if (cut >= 0) {
      waves.push({ from: start, peak, to: cut - 1 });
      start = cut;
      peak = i;
    } else if (smooth[i] > smooth[peak]) peak = i;
  }
  waves.push({ from: start, peak, to });
  return waves;
};

const active = (smooth: Float64Array): Omit<Wave, 'sum'>[] => {
  const least = Math.max(LEAST_RATE, LEAST_OF_PEAK * smooth.reduce((a, b) => Math.max(a, b), 0));
  const waves: Omit<Wave, 'sum'>[] = [];
  for (let from = 0; from < smooth.length; from++) {
    if (!(smooth[from] > least)) continue;
    let to = from;
    while (to + 1 < smooth.length && smooth[to + 1] > least) to++;
    waves.push(...parted(smooth, from, to));
    from = to;
  }
  return waves;
};

/** Joins the smallest wave under the least share to its nearer neighbour, or drops it, until none is too small. */
const withoutSmall = (found: readonly Wave[], least: number, joined: (a: Wave, b: Wave) => Wave): Wave[] => {
  const waves = [...found];
  for (;;) {
    const k = waves.reduce((min, wave, i) => (wave.sum < (waves[min] as Wave).sum ? i : min), 0);
    const small = waves[k];
    if (small === undefined || small.sum >= least) return waves;
    const before = waves[k - 1];
    const after = waves[k + 1];
    const gapBefore = before === undefined ? Number.POSITIVE_INFINITY : small.from - before.to;
    const gapAfter = after === undefined ? Number.POSITIVE_INFINITY : after.from - small.to;
    if (Math.min(gapBefore, gapAfter) > FARTHEST_DAYS) waves.splice(k, 1);
    else if (before !== undefined && gapBefore <= gapAfter) waves.splice(k - 1, 2, joined(before, small));
    else if (after !== undefined) waves.splice(k, 2, joined(small, after));
  }
};

/**
 * The waves of a daily rate. A day is active while the 3-day centred mean is above 0.05 % a day and 5 % of its highest;
 * a stretch parts at valleys below 65 % of the lower peak that last 2 days; pieces under 5 % join a neighbour within
 * 14 days or are left out.
 * @param rate share of the weed year a day
 */
export const waves = (rate: Float64Array): Wave[] => {
  const smooth = centredMean(rate);
  const withSum = ({ from, peak, to }: Omit<Wave, 'sum'>): Wave => ({
    from,
    peak,
    to,
    sum: rate.slice(from, to + 1).reduce((a, b) => a + b, 0),
  });
  const joined = (a: Wave, b: Wave): Wave =>
    withSum({ from: a.from, peak: smooth[a.peak] >= smooth[b.peak] ? a.peak : b.peak, to: b.to });
  const all = rate.reduce((a, b) => a + b, 0);
  return withoutSmall(active(smooth).map(withSum), LEAST_SHARE * all, joined);
};
