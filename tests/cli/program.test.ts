import { expect, test } from 'vitest';
import { captured } from './capture.ts';

const commands = ['tomorrow', 'outlook', 'score', 'catalogue'];

test('the help names every command and gives a first thing to type', () => {
  const { code, out } = captured('--help');
  expect(code).toBe(0);
  for (const command of commands) expect(out).toContain(command);
  expect(out).toContain('$ whitethread tomorrow');
});

test.each(commands)('the help of %s explains and shows worked examples, in 110 columns', (command) => {
  const { code, out } = captured(command, '--help');
  expect(code).toBe(0);
  const [explained, examples] = out.split('\nExamples:\n');
  expect(explained).toContain('Options:');
  expect(examples).toContain(`$ whitethread ${command}`);
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(110);
});

test.each([
  [[], /Usage/],
  [['yesterday'], /unknown command/],
  [['tomorrow', '--no-such'], /unknown option/],
  [['tomorrow', '--format', 'xml'], /table, json, csv/],
  [['tomorrow', '--units', 'imperial'], /metric, us/],
  [['tomorrow', '--days', '1.5'], /whole number from 0 to 366/],
  [['tomorrow', '--farm', 'a.json', '--weather', 'b.csv'], /cannot be used with/],
  [['tomorrow', '--lat', '42'], /'--lat <degrees>' needs '--weather <file>'/],
  [['tomorrow', '--weather', 'b.csv', '--crop', 'soybean'], /'--crop' needs '--planted <date>'/],
  [['tomorrow', '--weather', 'b.csv', '--planted', '2026-05-08'], /need '--crop <id>'/],
  [['tomorrow', '--weather', 'b.csv', '--weeds', 'waterhemp:many'], /number from 0\.001/],
  [['tomorrow', '--weather', 'b.csv', '--passes', '2026-05-08'], /DATE:IMPLEMENT/],
])('%o is wrong use: exit 2, the reason on the error output, nothing on the other', (args, reason) => {
  const { code, out, err } = captured(...args);
  expect(code).toBe(2);
  expect(err).toMatch(reason);
  expect(out).toBe('');
});

test('wrong input: exit 1, where, given, allowed and advice on the error output, no stack', () => {
  const { code, out, err } = captured('tomorrow', '--weather', 'nowhere.csv', '--lat', '42', '--lon', '-93.8');
  expect(code).toBe(1);
  expect(out).toBe('');
  expect(err).toMatch(/^nowhere\.csv: file-unreadable\n {2}given {4}ENOENT.*\n {2}allowed {2}.*\n {2}advice {3}/);
  expect(err).not.toMatch(/ at .*\.ts/);
});
