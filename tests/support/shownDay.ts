import type { ShownWindowDay } from '../../src/service/schema.ts';

/** An open day of an implement, as an answer shows it. */
export const shownDay = (date: string, implement: string, change: Partial<ShownWindowDay> = {}): ShownWindowDay => ({
  date,
  implement,
  open: true,
  closed: [],
  hours: null,
  kill: { low: 0.1, mean: 0.2, high: 0.3 },
  byStage: [],
  bySpecies: [],
  standLossFrac: 0,
  coverLossFrac: 0,
  score: 10,
  wait: null,
  weatherOrigin: 'forecast',
  hazards: [],
  ...change,
});
