import { expect } from 'vitest';
import { type Outlook, outlook as outlookSchema } from '../../../src/core/outlook/schema.ts';

/** Where inside a value something is bad, as `.crop.leaf.3`; null when nothing is. */
const badPlace = (value: unknown, isBad: (value: unknown) => boolean): string | null => {
  if (isBad(value)) return '';
  if (typeof value !== 'object' || value === null) return null;
  for (const key in value) {
    const place = badPlace(value[key as keyof typeof value], isBad);
    if (place !== null) return `.${key}${place}`;
  }
  return null;
};

const isNoNumber = (value: unknown): boolean => typeof value === 'number' && !Number.isFinite(value);

/** A band that does not hold its own date. */
const isOddBand = (value: unknown): boolean => {
  if (typeof value !== 'object' || value === null || !('earliest' in value)) return false;
  const { date, earliest, latest } = value as { date: string; earliest: string; latest: string | null };
  return !(earliest <= date && (latest === null || date <= latest));
};

const rises = (values: readonly (number | null)[]): boolean =>
  values.every((v, i) => i === 0 || v === null || values[i - 1] === null || v >= (values[i - 1] as number));

/** What is wrong with a day of an implement; null when nothing is. */
const oddDay = ({ open, closed, hours, score, kill }: Outlook['windowDays'][number]): string | null => {
  if (open !== (closed.length === 0)) return 'open and with reasons, or closed without';
  if (open && hours === null) return 'open without hours';
  if (!open && score !== 0) return 'closed with a score';
  if (hours !== null && hours.toMs <= hours.fromMs) return 'hours that end before they begin';
  return kill.low <= kill.mean && kill.mean <= kill.high ? null : 'a kill outside its range';
};

type Band = Outlook['flushes'][number]['end'];

/** Whether one of these dates may be earlier than the date before it, or surely is. */
const areDisordered = (bands: readonly (Band | null)[]): boolean => {
  const known = bands.filter((band) => band !== null);
  const latest = known.map((band) => band.latest ?? '9999-12-31');
  return [known.map(({ date }) => date), known.map(({ earliest }) => earliest), latest].some(
    (dates) => dates.toSorted().join() !== dates.join(),
  );
};

const isOddFlush = (flush: Outlook['flushes'][number]): boolean =>
  [
    [flush.start, flush.peak, flush.end],
    [flush.whiteThreadFrom, flush.whiteThreadPeak, flush.whiteThreadTo],
  ].some(areDisordered);

/** What is wrong with the emergence of a species. Shares are rounded to 0.0001. */
const oddSpecies = (one: Outlook['emergence'][number], days: number): string | null => {
  const { emergedFrac, potentialFrac, upFrac, stock, yearFrom, seedSetDeadline, pastSeedSetFrac, p10, p50, p90 } = one;
  if (!(upFrac >= 0 && upFrac <= 1)) return 'more than the year up';
  if (emergedFrac.length !== days || potentialFrac.length !== days) return 'a column of another length';
  if (!rises(emergedFrac) || !rises(potentialFrac)) return 'emergence that falls';
  if (!emergedFrac.every((v, i) => v >= 0 && v <= (potentialFrac[i] as number) + 1e-4)) return 'more up than could be';
  if (stock.some(({ stockFrac }) => stockFrac < 0)) return 'less than nothing alive';
  if (!(pastSeedSetFrac >= 0 && pastSeedSetFrac <= 1)) return 'no share past its deadline';
  // Where no frost ended it, what came up last year still stands, and its day is past.
  if (seedSetDeadline.date < yearFrom && pastSeedSetFrac === 0) return 'a deadline of another year than is told';
  return areDisordered([p10, p50, p90]) ? '10, 50 and 90 % out of order' : null;
};

/** What is called best must be an open day that saves something, in a window whose best is no better. */
const isOddBest = ({ best, windowDays, windows }: Outlook): boolean => {
  if (best === null) return false;
  const { date, implement, score } = best;
  const day = windowDays.find((one) => one.date === date && one.implement === implement);
  const window = windows.find((one) => one.implement === implement && one.from <= date && one.to >= date);
  return !day?.open || day.score !== score || score <= 0 || window === undefined || window.bestScore > score + 0.5;
};

/** Laws that hold for every answer, whatever the field. Few calls of `expect`: it costs more than the outlook. */
export const expectLawful = (answer: Outlook): void => {
  const { soil, emergence, crop, windowDays } = answer;
  expect(badPlace(answer, (value) => isNoNumber(value) || isOddBand(value))).toBeNull();
  const days = soil.temp5MeanC.length;
  expect(Object.values(soil).every((column) => !Array.isArray(column) || column.length === days)).toBe(true);
  expect([...soil.surfaceWaterM3PerM3, ...soil.seedbedWaterM3PerM3].every((v) => v > 0 && v < 0.8)).toBe(true);
  expect(emergence.map((one) => oddSpecies(one, days)).filter((odd) => odd !== null)).toEqual([]);
  expect(answer.flushes.filter(isOddFlush)).toEqual([]);
  expect(isOddBest(answer), 'a best pass that is none').toBe(false);
  expect(crop === null || rises(crop.leaf), 'the crop goes back a stage').toBe(true);
  expect(windowDays.map(oddDay).filter((odd) => odd !== null)).toEqual([]);
};

/** Lawful, and what the schema promises. The schema costs more than the outlook, so loops of thousands sample it. */
export const expectWhole = (answer: Outlook): void => {
  expectLawful(answer);
  expect(outlookSchema.parse(answer)).toEqual(answer);
};
