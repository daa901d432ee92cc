import type { DayNumber } from '../base/day.ts';

/**
 * The day in the course of which a cumulative column reaches a level; null when it never does, or stood there already
 * when the series began. Columns hold mornings, so the level shows on the morning after.
 * @param from first day that counts, index; the level is counted from what the column holds that morning
 * @example reachedDay(Float64Array.of(0, 0.2, 0.6), 100, 0.5, 0) // 101
 */
export const reachedDay = (
  column: Float64Array,
  startDay: DayNumber,
  level: number,
  from: number,
): DayNumber | null => {
  for (let i = from; i + 1 < column.length; i++) if (column[i + 1] - column[from] >= level) return startDay + i;
  return null;
};
