import { expect, test } from 'vitest';
import { errorCodes, whitethreadError } from '../../src/core/base/errors.ts';
import { problem } from '../../src/http/answers/schema.ts';
import { problemDocument, statusOf, titles } from '../../src/http/errors.ts';

test('every code has a status and every status a title, both ways', () => {
  expect(Object.keys(statusOf)).toEqual([...errorCodes]);
  const used = new Set([...Object.values(statusOf), 408, 417, 431]);
  expect([...used].sort()).toEqual(Object.keys(titles).map(Number).sort());
});

test.each(errorCodes)('%s is a problem document that points to its explanation', (code) => {
  const document = problemDocument(
    whitethreadError([{ code, where: 'weather.rainMm[3]', given: '-1', allowed: '0 to 1900', advice: 'Look' }]),
    'request-1',
  );
  expect(problem.parse(document)).toEqual(document);
  expect(document).toMatchObject({ type: `/errors#${code}`, status: statusOf[code], instance: 'request-1' });
});

test('a fault of ours keeps its text to itself and gives the request id', () => {
  const document = problemDocument(new Error('password of the database is hunter2'), 'request-2');
  expect(document.status).toBe(500);
  expect(JSON.stringify(document)).not.toContain('hunter2');
  expect(document.detail).toContain('request-2');
  const known = whitethreadError([{ code: 'store-full', where: 'disk sda1', given: 'ENOSPC', allowed: 'room' }]);
  expect(JSON.stringify(problemDocument(known, 'request-3'))).not.toContain('sda1');
});

test.each([
  ['store-unavailable', /^server: given a database that does not answer; .* Wait as many seconds as Retry-After says/],
  ['store-full', /Nothing of the request was kept: .* made room/],
  ['store-read-only', /Nothing of the request was kept: .* right to write/],
  ['store-version', /a database of another version.* Tell the operator/],
  ['unexpected', /Report it/],
  ['balance-broken', /Report it/],
] as const)('%s keeps its text and says what to do, with the request id', (code, advice) => {
  const fault = whitethreadError([{ code, where: 'disk sda1', given: 'ENOSPC', allowed: 'room' }]);
  const { detail, problems } = problemDocument(fault, 'request-5');
  expect(detail).toMatch(advice);
  expect(detail).toContain('the request id request-5');
  expect(problems).toHaveLength(1);
  expect(JSON.stringify(problems)).not.toMatch(/sda1|ENOSPC/);
});

test('all problems at once, at most fifty', () => {
  const many = Array.from({ length: 80 }, (_, i) => ({
    code: 'weather-range' as const,
    where: `weather.rainMm[${i}]`,
    given: '-1',
    allowed: '0 to 1900',
  }));
  const { problems } = problemDocument(whitethreadError(many), 'request-4');
  expect(problems).toHaveLength(50);
  expect(problems[49]?.where).toBe('weather.rainMm[49]');
});
