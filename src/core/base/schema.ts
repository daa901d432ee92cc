import { z } from 'zod';
import { allowedText } from './allowed.ts';
import { errorCodes, MOST_PROBLEMS, type Problem, whitethreadError } from './errors.ts';
import { civilDate, depthCm, slug } from './quantity.ts';

/** A pass over the field that was made, or one that is being tried out. */
export const pass = z.strictObject({
  date: civilDate(),
  /** Id of an implement of the catalogue or of the request. */
  implement: slug(),
  /** How deep it worked; without it the implement's usual depth. */
  depthCm: depthCm().optional(),
});
export type Pass = Readonly<z.infer<typeof pass>>;

/**
 * Refuses what stands twice in a list, at its second place: nobody could tell which of the two is meant.
 * @param name member by which two are the same
 */
export const eachOnce =
  <K extends string>(name: K) =>
  (list: readonly Readonly<Record<K, string>>[], { addIssue }: z.core.$RefinementCtx): void => {
    const firstOf = new Map<string, number>();
    for (const [i, { [name]: given }] of list.entries()) {
      const first = firstOf.get(given);
      if (first === undefined) firstOf.set(given, i);
      else
        addIssue({
          code: 'custom',
          message: `each ${name} once, and ${given} stands at [${first}] already: leave one of the two out`,
          path: [i, name],
        });
    }
  };

/** A `Problem` as answers carry it. */
export const problem = z.strictObject({
  code: z.enum(errorCodes),
  where: z.string(),
  given: z.string(),
  allowed: z.string(),
  advice: z.string().optional(),
});

const pathText = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (text, key) => (typeof key === 'number' ? `${text}[${key}]` : text ? `${text}.${String(key)}` : String(key)),
    '',
  );

const valueAt = (input: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key], input);

const shown = (value: unknown): string => {
  const text = value === undefined ? 'nothing' : JSON.stringify(value);
  return text.length > 80 ? `${text.slice(0, 77)}...` : text;
};

/** A name that is not known is told at its own place, not at that of what holds it. */
const pathsOf = (issue: z.core.$ZodIssue): readonly PropertyKey[][] =>
  issue.code === 'unrecognized_keys' ? issue.keys.map((key) => [...issue.path, key]) : [issue.path];

/**
 * The input as the schema's type, or one error that names every problem with what was given and what is allowed.
 * @throws WhitethreadError 'invalid-input'
 */
export const parsed = <T extends z.ZodType>(schema: T, input: unknown, where: string): z.output<T> => {
  const result = schema.safeParse(input, { error: allowedText });
  if (result.success) return result.data;
  const problems = result.error.issues
    .flatMap((issue) => pathsOf(issue).map((path) => ({ path, allowed: issue.message })))
    .slice(0, MOST_PROBLEMS)
    .map(
      ({ path, allowed }): Problem => ({
        code: 'invalid-input',
        where: [where, pathText(path)].filter(Boolean).join('.') || 'input',
        given: shown(valueAt(input, path)),
        allowed,
      }),
    );
  throw whitethreadError(problems);
};
