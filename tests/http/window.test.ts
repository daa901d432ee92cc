import { expect, test } from 'vitest';
import { minuteWindow } from '../../src/http/window.ts';

test('a minute is over where the clock was put back: nobody waits until then', () => {
  let nowMs = 365 * 86_400_000;
  const window = minuteWindow(2, () => nowMs);
  for (let n = 0; n < 3; n++) window.count('key');
  expect(window.take('key')).toBeNull();
  nowMs = 0;
  expect(window.peek('key')).toMatchObject({ left: 2, seconds: 60 });
  expect(window.take('key')).toMatchObject({ left: 1, seconds: 60 });
});
