import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { captured } from './capture.ts';

test('without arguments all three kinds are listed with their number', () => {
  const { code, out } = captured('catalogue');
  expect(code).toBe(0);
  expect(out).toMatch(/^species \(\d+\)$/m);
  expect(out).toMatch(/^crops \(\d+\)$/m);
  expect(out).toMatch(/^implements \(\d+\)$/m);
  expect(out).toMatch(/waterhemp +Amaranthus tuberculatus +summer annual, broadleaf/);
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
});

test('one entry: each value with unit and origin; with --sources the sources written out', () => {
  const plain = captured('catalogue', 'species', 'waterhemp').out;
  expect(plain).toMatch(/germination\.baseTempC: [\d.]+ C \[(published|derived|default)/);
  expect(plain).not.toMatch(/^Sources$/m);
  expect(captured('catalogue', 'species', 'waterhemp', '--sources').out).toMatch(/^Sources$/m);
});

test('JSON and CSV of an entry hold the same rows', () => {
  const json = JSON.parse(captured('catalogue', 'implements', 'rotary-hoe', '--json').out) as { name: string }[];
  const csv = parse(captured('catalogue', 'implements', 'rotary-hoe', '--format', 'csv').out, { columns: true }) as {
    name: string;
  }[];
  expect(json.length).toBeGreaterThan(20);
  expect(csv.map(({ name }) => name)).toEqual(json.map(({ name }) => name));
});

test.each([
  ['species', 'unknown-species'],
  ['crops', 'unknown-crop'],
  ['implements', 'unknown-implement'],
])('an id that %s does not have is %s, exit 1, with the ids allowed', (kind, code) => {
  const answer = captured('catalogue', kind, 'no-such-thing');
  expect(answer.code).toBe(1);
  expect(answer.err).toContain(code);
  expect(answer.err).toContain('no-such-thing');
});

test('a kind that does not exist is wrong use', () => {
  const { code, err } = captured('catalogue', 'tractors');
  expect(code).toBe(2);
  expect(err).toMatch(/species, crops, implements/);
});
