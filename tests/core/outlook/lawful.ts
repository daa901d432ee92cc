import { expect } from 'vitest';
import { type Outlook, outlook as outlookSchema } from '../../../src/core/outlook/schema.ts';

type Visit = (value: unknown, path: string) => void;

/** Calls `visit` on a value and on everything inside it. */
const visitAll = (value: unknown, path: string, visit: Visit): void => {
  visit(value, path);
  if (typeof value !== 'object' || value === null) return;
  for (const [key, item] of Object.entries(value)) visitAll(item, `${path}.${key}`, visit);
};

const checkNumber: Visit = (value, path) => {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${path} is ${value}`);
};

/** A band holds its own date. */
const checkBand: Visit = (value, path) => {
  if (typeof value !== 'object' || value === null || !('earliest' in value)) return;
  const { date, earliest, latest } = value as { date: string; earliest: string; latest: string };
  if (!(earliest <= date && date <= latest)) throw new Error(`${path}: ${date} not in ${earliest} to ${latest}`);
};

const rises = (values: readonly (number | null)[]): boolean =>
  values.every((v, i) => i === 0 || v === null || values[i - 1] === null || v >= (values[i - 1] as number));

/**
 * Laws that hold for every answer, whatever the field. Shares are rounded to 0.0001, so sums are held to that.
 * Without passes that stir and without perennials nothing goes beyond the year's seedlings.
 */
export const expectLawful = (answer: Outlook): void => {
  visitAll(answer, 'outlook', checkNumber);
  visitAll(answer, 'outlook', checkBand);
  const days = answer.soil.temp5MeanC.length;
  for (const column of Object.values(answer.soil)) if (Array.isArray(column)) expect(column).toHaveLength(days);
  for (const { emergedFrac, potentialFrac, stock, p10, p50, p90, species } of answer.emergence) {
    expect(emergedFrac).toHaveLength(days);
    expect(rises(emergedFrac), `${species} falls`).toBe(true);
    expect(rises(potentialFrac), `${species} falls`).toBe(true);
    expect(emergedFrac.every((v, i) => v >= 0 && v <= (potentialFrac[i] as number) + 1e-4)).toBe(true);
    expect(stock.every(({ stockFrac }) => stockFrac >= 0)).toBe(true);
    const dates = [p10, p50, p90].flatMap((band) => (band === null ? [] : [band.date]));
    expect([...dates].sort()).toEqual(dates);
  }
  for (const content of [answer.soil.surfaceWaterM3PerM3, answer.soil.seedbedWaterM3PerM3])
    expect(content.every((v) => v > 0 && v < 0.8)).toBe(true);
  if (answer.crop !== null) expect(rises(answer.crop.leaf), 'the crop goes back a stage').toBe(true);
  for (const day of answer.windowDays) {
    expect(day.open).toBe(day.closed.length === 0);
    if (day.open) expect(day.hours).not.toBeNull();
    else expect(day.score).toBe(0);
    if (day.hours !== null) expect(day.hours.toMs).toBeGreaterThan(day.hours.fromMs);
    expect(day.kill.low <= day.kill.mean && day.kill.mean <= day.kill.high).toBe(true);
  }
};

/** Lawful, and what the schema promises. The schema costs more than the outlook, so loops of thousands sample it. */
export const expectWhole = (answer: Outlook): void => {
  expectLawful(answer);
  expect(outlookSchema.parse(answer)).toEqual(answer);
};
