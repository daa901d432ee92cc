import type { DayNumber } from '../base/day.ts';
import type { Column } from './columns.ts';
import type { WeatherFinding } from './finding.ts';
import { MOST_CROSSED_C } from './qualityLimits.ts';

type Temperatures = {
  readonly tempMaxC: Column;
  readonly tempMinC: Column;
  readonly findings: readonly WeatherFinding[];
};

/** The two temperatures exchanged on days when rounding put the lowest above the highest, and a note for each such day. */
export const uncrossed = (tempMaxC: Column, tempMinC: Column, startDay: DayNumber): Temperatures => {
  const max = [...tempMaxC];
  const min = [...tempMinC];
  const findings: WeatherFinding[] = [];
  for (let i = 0; i < max.length; i++) {
    const high = max[i] ?? null;
    const low = min[i] ?? null;
    if (high === null || low === null || low <= high) continue;
    max[i] = low;
    min[i] = high;
    const day = startDay + i;
    findings.push({
      code: 'crossed',
      severity: 'note',
      from: day,
      to: day,
      column: 'tempMinC',
      given: low - high,
      limit: MOST_CROSSED_C,
    });
  }
  return { tempMaxC: max, tempMinC: min, findings };
};
