import { whitethreadError } from '../../src/core/base/errors.ts';
import { work } from '../../src/http/worker.ts';
import type { Compute } from '../../src/service/contract.ts';

/** The workers' own code, on this thread. */
export const inline: Compute = {
  outlook: async (field, form) => {
    const done = work({ kind: 'outlook', field, ...form });
    if (done instanceof Uint8Array) return done;
    throw whitethreadError('problems' in done ? done.problems : []);
  },
  tomorrow: async (field) => {
    const done = work({ kind: 'tomorrow', field });
    if ('tomorrow' in done) return done.tomorrow;
    throw whitethreadError('problems' in done ? done.problems : []);
  },
  mornings: async (field, dates) => {
    const done = work({ kind: 'mornings', field, dates });
    if ('mornings' in done) return done.mornings;
    throw whitethreadError('problems' in done ? done.problems : []);
  },
};
