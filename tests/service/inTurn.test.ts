import { expect, test } from 'vitest';
import { inTurn } from '../../src/service/inTurn.ts';

const later = () => new Promise(setImmediate);
const numbers = Array.from({ length: 20 }, (_, i) => i);

test('answers keep the order of their questions, also where later ones are ready first', async () => {
  const squares = await inTurn(numbers, async (n) => {
    for (let i = n % 4; i < 4; i++) await later();
    return n * n;
  });
  expect(squares).toEqual(numbers.map((n) => n * n));
  expect(await inTurn([], later)).toEqual([]);
});

test('after a fault no more is begun', async () => {
  const begun: number[] = [];
  const asked = inTurn(numbers, async (n) => {
    begun.push(n);
    await later();
    if (n === 2) throw new Error('no answer');
  });
  await expect(asked).rejects.toThrow('no answer');
  for (let i = 0; i < 30; i++) await later();
  // Four at first; two more took the places of the first two before the third failed.
  expect(begun).toEqual([0, 1, 2, 3, 4, 5]);
});
