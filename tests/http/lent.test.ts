import { EventEmitter } from 'node:events';
import type { ServerResponse } from 'node:http';
import { expect, test } from 'vitest';
import { givenBackFrom, lent } from '../../src/http/lent.ts';

const reply = (): ServerResponse => new EventEmitter() as ServerResponse;

test('memory comes again once the answer in it has gone out, and then to one only', () => {
  const memory = lent();
  const first = reply();
  givenBackFrom(first, new Uint8Array(memory, 0, 10));
  expect(lent()).not.toBe(memory);
  first.emit('finish');
  const second = reply();
  givenBackFrom(second, new Uint8Array(memory));
  second.emit('finish');
  expect([lent(), lent()].filter((each) => each === memory)).toHaveLength(1);
});

test('memory too small for the next answer is let go, and so is more than a busy server needs', () => {
  const few = new ArrayBuffer(1000);
  const many = Array.from({ length: 40 }, () => new ArrayBuffer(300_000));
  for (const memory of [few, ...many]) {
    const one = reply();
    givenBackFrom(one, new Uint8Array(memory));
    one.emit('finish');
  }
  const again = Array.from({ length: 40 }, lent);
  expect(again).not.toContain(few);
  expect(again.filter((memory) => many.includes(memory))).toHaveLength(16);
});
