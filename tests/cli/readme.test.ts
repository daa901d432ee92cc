import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { captured } from './capture.ts';

const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');

test('the worked example of the README prints what the README shows', () => {
  const example = /<!-- example: tomorrow -->\n```\n\$ whitethread (.*)\n```\n```\n(.*?)\n```\n/s.exec(readme);
  const [, command = '', shown = ''] = example ?? [];
  const { code, out } = captured(...command.split(' '));
  expect(code).toBe(0);
  expect(out.trimEnd().split('\n')).toEqual(shown.split('\n'));
});
