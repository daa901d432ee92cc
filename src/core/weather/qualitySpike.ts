import type { DayNumber } from '../base/day.ts';
import type { Column } from './columns.ts';
import type { WeatherFinding } from './finding.ts';

/** Set so that an error of 20 C is caught 99 times in 100 while a day of real weather is called one 3 times in 1,000. */
const MOST_C = 11;

/** How far a day stands off the middle of its neighbours, C; NaN where one of the three is missing. */
const offNeighbours = (column: Column, i: number): number => {
  const before = column[i - 1] ?? null;
  const value = column[i] ?? null;
  const after = column[i + 1] ?? null;
  return before === null || value === null || after === null ? Number.NaN : value - (before + after) / 2;
};

/** The half of it that the other temperature of the day did not share: real fronts move both. */
const unshared = (column: Column, other: Column, i: number): number => {
  const shared = offNeighbours(other, i);
  return Math.abs(offNeighbours(column, i) - (Number.isNaN(shared) ? 0 : shared / 2));
};

/** Single days whose temperature jumps off its neighbours by far more than the day's other temperature does. */
export const spikeFindings = (column: Column, other: Column, name: string, startDay: DayNumber): WeatherFinding[] => {
  const findings: WeatherFinding[] = [];
  for (let i = 1; i < column.length - 1; i++) {
    const off = unshared(column, other, i);
    if (!(off > MOST_C)) continue;
    // The neighbours of a spike jump half as far the other way: only the tip is told.
    const isTip = !(off < unshared(column, other, i - 1) || off < unshared(column, other, i + 1));
    if (isTip)
      findings.push({
        code: 'spike',
        severity: 'note',
        from: startDay + i,
        to: startDay + i,
        column: name,
        given: off,
        limit: MOST_C,
      });
  }
  return findings;
};
