import { isWhitethreadError, type Problem, whitethreadError } from '../core/base/errors.ts';

/** The option that says what a weather file leaves open; undefined where there is none. */
const optionFor = ({ code, where }: Problem): string | undefined => {
  if (code === 'weather-unit') return '--temp-unit and --rain-unit';
  if (code === 'weather-date' && where === 'column of dates') return '--date-order mdy or dmy';
  return where.startsWith('station of ') ? '--station' : undefined;
};

const advised = (problem: Problem): Problem => {
  const option = optionFor(problem);
  return option === undefined ? problem : { ...problem, advice: `${problem.advice}, or give ${option}` };
};

/**
 * What `read` makes of a weather file. Where it fails, the advice names the option that helps as well: readers know of no
 * command line.
 * @throws WhitethreadError as `read`
 */
export const withOptionAdvice = <T>(read: () => T): T => {
  try {
    return read();
  } catch (error) {
    throw isWhitethreadError(error) ? whitethreadError(error.problems.map(advised)) : error;
  }
};
