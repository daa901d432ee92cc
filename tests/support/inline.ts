import { whitethreadError } from '../../src/core/base/errors.ts';
import { type Done, type Task, work } from '../../src/http/worker.ts';
import type { Compute } from '../../src/service/contract.ts';

type Good = Exclude<Done, { readonly problems: unknown }>;

const worked = <T extends Good>(task: Task): T => {
  const done = work(task);
  if ('problems' in done) throw whitethreadError(done.problems);
  return done as T;
};

/** The workers' own code, on this thread. */
export const inline: Compute = {
  outlook: async (field, form) => worked<Uint8Array>({ kind: 'outlook', field, ...form }),
  tomorrow: async (field) => worked<Extract<Good, { tomorrow: unknown }>>({ kind: 'tomorrow', field }).tomorrow,
  mornings: async (field, dates) =>
    worked<Extract<Good, { mornings: unknown }>>({ kind: 'mornings', field, dates }).mornings,
  told: async (what, answer, form) => worked<Uint8Array>({ kind: 'told', what, answer, ...form }),
  takenWeather: async (given) => worked<Extract<Good, { taken: unknown }>>({ kind: 'taken-weather', ...given }).taken,
};
