import { z } from 'zod';
import { days, monthDay, slug } from '../core/base/quantity.ts';

/** Where something was read. `read` says which part, so that nobody takes an abstract for the whole paper. */
export const reference = z.strictObject({
  authors: z.string().min(1),
  year: z.int().min(1900).max(2100).optional(),
  title: z.string().min(1).optional(),
  /** Journal, volume and pages, proceedings, or the body that published it. */
  published: z.string().min(1),
  read: z.string().min(1),
  url: z.url().optional(),
});
export type Reference = Readonly<z.infer<typeof reference>>;

/** references.json: by an id such as goplen-2018. */
export const references = z.record(slug(), reference);

const common = {
  /** One number, a month and day, or a small block of values with one origin. */
  value: z.json(),
  unit: z.string().min(1),
  /** Where the value was found or made, when that matters. */
  place: z.string().min(1).optional(),
  /** What else a careful user could put there. */
  range: z.tuple([z.number(), z.number()]).optional(),
};

/** A catalogue value and where it comes from. */
export const sourced = z.discriminatedUnion('basis', [
  /** Read in `source`. */
  z.strictObject({ ...common, basis: z.literal('published'), source: slug(), note: z.string().min(1).optional() }),
  /** Worked out; `note` is the working. */
  z.strictObject({ ...common, basis: z.literal('derived'), source: slug().optional(), note: z.string().min(1) }),
  /** Our choice, to be overridden by whoever knows better; `note` says why. */
  z.strictObject({ ...common, basis: z.literal('default'), source: slug().optional(), note: z.string().min(1) }),
]);
export type Sourced = Readonly<z.infer<typeof sourced>>;

/** A species' dates at the reference place, from which a developer command derives lag, scale and shape. */
export const target = z.strictObject({
  season: z.enum(['spring', 'autumn']),
  place: z.string().min(1),
  /** When 2, 10, 50 and 90 % of the season's seedlings are up in the middle one of many years; null where not known. */
  dates: z.strictObject({
    p2: monthDay().nullable(),
    p10: monthDay().nullable(),
    p50: monthDay().nullable(),
    p90: monthDay().nullable(),
  }),
  uncertaintyDays: z.strictObject({ p10: days(), p50: days(), p90: days() }),
  evidence: z.array(z.strictObject({ text: z.string().min(1), source: slug().optional() })).min(1),
});
export type Target = Readonly<z.infer<typeof target>>;
export const targets = z.array(target).min(1);
