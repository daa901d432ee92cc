import { expect, test } from 'vitest';
import { z } from 'zod';
import { validation } from '../../src/http/validation.ts';

const checks = (schema: z.ZodType, httpPart: string) =>
  validation({ schema, httpPart, method: 'GET', url: '/' }) as (data: object) => { value?: object; error?: Error };

test('a query of nothing has the defaults each time, and one request cannot change them for the next', () => {
  const check = checks(z.strictObject({ limit: z.coerce.number().default(50) }), 'querystring');
  const first = check({}).value;
  expect(first).toEqual({ limit: 50 });
  expect(() => Object.assign(first ?? {}, { limit: 1 })).toThrow(TypeError);
  expect(check({ limit: '7' }).value).toEqual({ limit: 7 });
  expect(check({}).value).toEqual({ limit: 50 });
});

test('a query of nothing where something is needed is refused each time with an error of its own', () => {
  const check = checks(z.strictObject({ on: z.string() }), 'querystring');
  const [first, second] = [check({}).error, check({}).error];
  expect(first).toMatchObject({ problems: [{ where: 'query.on', given: 'nothing' }] });
  expect(second).toEqual(first);
  expect(second).not.toBe(first);
});

test('what goes wrong in a check by itself is a fault of ours, not of the caller', () => {
  const broken = z.string().refine(() => {
    throw new RangeError('Maximum call stack size exceeded');
  });
  expect(checks(z.strictObject({ on: broken }), 'body')({ on: 'a' }).error).toMatchObject({ statusCode: 500 });
});
