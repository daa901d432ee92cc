import { isWhitethreadError, type WhitethreadError } from '../../src/core/base/errors.ts';

/** The error that `run` throws; fails when it throws none of ours. */
export const errorOf = (run: () => unknown): WhitethreadError => {
  try {
    run();
  } catch (error) {
    if (isWhitethreadError(error)) return error;
    throw error;
  }
  throw new Error('no WhitethreadError was thrown');
};
