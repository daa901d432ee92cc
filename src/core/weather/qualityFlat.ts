import type { DayNumber } from '../base/day.ts';
import type { Column } from './columns.ts';
import type { WeatherFinding } from './finding.ts';

/** More equal days than this in a row are a stuck sensor or a filled gap. */
const MOST_EQUAL = 9;

/** Runs of ten and more equal temperatures. */
export const flatFindings = (column: Column, name: string, startDay: DayNumber): WeatherFinding[] => {
  const findings: WeatherFinding[] = [];
  let first = 0;
  for (let i = 1; i <= column.length; i++) {
    if (i < column.length && column[i] === column[first]) continue;
    const length = i - first;
    if (length > MOST_EQUAL && column[first] !== null)
      findings.push({
        code: 'flat',
        severity: 'warning',
        from: startDay + first,
        to: startDay + i - 1,
        column: name,
        given: length,
        limit: MOST_EQUAL,
      });
    first = i;
  }
  return findings;
};
