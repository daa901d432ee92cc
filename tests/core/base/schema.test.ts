import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import type { Problem, WhitethreadError } from '../../../src/core/base/errors.ts';
import { civilDate, depthCm, frac, monthDay, slug, tempC, wholeDays } from '../../../src/core/base/quantity.ts';
import { parsed, pass } from '../../../src/core/base/schema.ts';

const problemsOf = (schema: z.ZodType, input: unknown, where = ''): readonly Problem[] => {
  try {
    parsed(schema, input, where);
  } catch (error) {
    return (error as WhitethreadError).problems;
  }
  return [];
};

describe('parsed', () => {
  const field = z.strictObject({ passes: z.array(pass) });

  test('gives the value where it fits', () => {
    const input = { passes: [{ date: '2026-05-01', implement: 'rotary-hoe' }] };
    expect(parsed(field, input, '')).toEqual(input);
  });

  test('names each wrong place, what stood there and what may stand there', () => {
    const input = { passes: [{ date: '2026-05-01', implement: 'Rotary Hoe', depthCm: 99 }, { date: 'May' }] };
    const problems = problemsOf(field, input, 'field');
    expect(problems.map(({ where }) => where)).toEqual([
      'field.passes[0].implement',
      'field.passes[0].depthCm',
      'field.passes[1].date',
      'field.passes[1].implement',
    ]);
    expect(problems.map(({ given }) => given)).toEqual(['"Rotary Hoe"', '99', '"May"', 'nothing']);
    expect(problems[1]?.allowed).toMatch(/50/);
  });

  test('what is wrong as a whole is the input', () => {
    expect(problemsOf(field, null)).toEqual([
      { code: 'invalid-input', where: 'input', given: 'null', allowed: 'an object' },
    ]);
    expect(problemsOf(field, null, 'field')[0]?.where).toBe('field');
  });

  test('a value that is long to show is cut to 80 characters', () => {
    const [problem] = problemsOf(z.number(), 'x'.repeat(500));
    expect(problem?.given).toHaveLength(80);
  });

  test('lists at most 50 problems of 4,000', () => {
    expect(problemsOf(z.array(z.number()), new Array(4_000).fill('x'))).toHaveLength(50);
  });

  test('a name that is not known is refused at its own place, with the names that are', () => {
    expect(
      problemsOf(field, { passes: [{ date: '2026-05-01', implement: 'rotary-hoe', deep: 3 }], pases: [], a: 1 }),
    ).toEqual([
      {
        code: 'invalid-input',
        where: 'passes[0].deep',
        given: '3',
        allowed: 'one of the names date, implement, depthCm',
      },
      { code: 'invalid-input', where: 'pases', given: '[]', allowed: 'one of the names passes' },
      { code: 'invalid-input', where: 'a', given: '1', allowed: 'one of the names passes' },
    ]);
  });

  test.each<[z.ZodType, unknown, string]>([
    [z.object({}), 'x', 'an object'],
    [z.array(z.number()), 7, 'a list'],
    [z.string(), null, 'text'],
    [z.number(), '7', 'a number'],
    [z.int(), 1.5, 'a whole number'],
    [z.boolean(), 1, 'true or false'],
    [z.enum(['loam', 'clay']), 'mud', 'one of loam, clay'],
    [z.literal('operator'), 'x', 'operator'],
    [z.array(z.number()).min(1), [], 'at least 1 item'],
    [z.array(z.number()).max(2), [1, 2, 3], 'at most 2 items'],
    [z.string().min(2), 'x', 'at least 2 characters'],
    [z.string().max(1), 'xy', 'at most 1 character'],
    [z.number().min(3), 2, 'a number at least 3'],
    [z.number().positive(), 0, 'a number above 0'],
    [z.number().max(3), 4, 'a number at most 3'],
    [z.number().lt(3), 3, 'a number below 3'],
    [z.iso.datetime(), 'noon', 'an instant such as 2026-05-12T06:00:00Z'],
    [z.url(), 'x', 'a web address'],
    [z.string().regex(/^x$/), 'y', 'text of the form /^x$/'],
    [tempC(), '5', 'a number from -90 to 60 C'],
    [tempC(), 99, 'a number from -90 to 60 C'],
    [frac(), -1, 'a number from 0 to 1'],
    [wholeDays(), 1.5, 'a whole number from 0 to 366'],
    [slug(), 'Rotary Hoe', 'lower case words joined by hyphens, such as rotary-hoe'],
    [monthDay(), '1-1', 'a month and day MM-DD'],
    [z.number({ error: 'a good number' }), 'x', 'a good number'],
    // Of what has no words of ours, the checker's own.
    [z.number().multipleOf(5), 7, 'Invalid number: must be a multiple of 5'],
  ])('what is allowed is told in words: %#', (schema, input, allowed) => {
    expect(problemsOf(schema, input).map((problem) => problem.allowed)).toEqual([allowed]);
  });
});

describe('quantities', () => {
  test.each([
    ['tempC', tempC(), [-90, 60], [-90.1, 60.1, Number.NaN, Number.POSITIVE_INFINITY, '5']],
    ['frac', frac(), [0, 1], [-0.01, 1.01, 50]],
    ['depthCm', depthCm(), [0, 50], [-1, 51]],
    ['civilDate', civilDate(), ['1900-01-01', '2024-02-29'], ['1899-12-31', '2023-02-29', '20250-01-01', '05/01/2026']],
    ['monthDay', monthDay(), ['01-01', '02-29', '12-31'], ['13-01', '00-10', '1-1']],
    ['slug', slug(), ['rotary-hoe', 'x2'], ['Rotary', 'a--b', '-a', '', 'a'.repeat(61)]],
  ])('%s takes what lies inside its limits and nothing else', (_, schema, good, bad) => {
    for (const value of good) expect(schema.safeParse(value).success).toBe(true);
    for (const value of bad) expect(schema.safeParse(value).success).toBe(false);
  });
});
