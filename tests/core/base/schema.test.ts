import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import type { Problem, WhitethreadError } from '../../../src/core/base/errors.ts';
import { civilDate, depthCm, frac, monthDay, slug, tempC } from '../../../src/core/base/quantity.ts';
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

  test('a value that is long to show is cut to 80 characters', () => {
    const [problem] = problemsOf(z.number(), 'x'.repeat(500));
    expect(problem?.given).toHaveLength(80);
  });

  test('lists at most 50 problems of 4,000', () => {
    expect(problemsOf(z.array(z.number()), new Array(4_000).fill('x'))).toHaveLength(50);
  });

  test('a field that is not known is refused', () => {
    expect(problemsOf(field, { passes: [], pases: [] })).toHaveLength(1);
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
