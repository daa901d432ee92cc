import { type DayNumber, isoDate } from '../base/day.ts';
import type { Problem } from '../base/errors.ts';
import { type Gap, MOST_FILLED, MOST_INTERPOLATED } from './filled.ts';
import type { WeatherFinding } from './finding.ts';

/** Gaps in the observed part that are too long to fill, each with its dates. */
export const gapProblems = (holes: readonly Gap[], column: string, startDay: DayNumber, observed: number): Problem[] =>
  holes.flatMap(({ first, last }): Problem[] => {
    const end = Math.min(last, observed - 1);
    const length = end - first + 1;
    if (length <= MOST_FILLED) return [];
    return [
      {
        code: 'weather-gap',
        where: `weather.${column}`,
        given: `${length} missing days from ${isoDate(startDay + first)} to ${isoDate(startDay + end)}`,
        allowed: `at most ${MOST_FILLED} missing days in a row`,
        advice: 'Fill these days from a neighbouring station, or send the series from after the gap',
      },
    ];
  });

/** What was done about each gap, told apart for the observed part and the forecast. */
export const gapFindings = (
  holes: readonly Gap[],
  column: string,
  startDay: DayNumber,
  observed: number,
): WeatherFinding[] =>
  holes.flatMap(({ first, last, fill }): WeatherFinding[] => {
    const finding = (code: WeatherFinding['code'], from: number, to: number, limit: number): WeatherFinding[] =>
      from > to
        ? []
        : [
            {
              code,
              // A line through temperatures is near the truth; one from a storm's day is rain that never fell.
              severity: code === 'interpolated' && column !== 'rainMm' ? 'note' : 'warning',
              from: startDay + from,
              to: startDay + to,
              column,
              given: to - from + 1,
              limit,
            },
          ];
    if (fill === 'interpolated') return finding('interpolated', first, last, MOST_INTERPOLATED);
    return [
      ...finding('climatology', first, Math.min(last, observed - 1), MOST_FILLED),
      ...finding('degraded', Math.max(first, observed), last, 0),
    ];
  });
