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

test('memory too small for the next answer or grown for many years is let go, and so is more than a busy server needs', () => {
  const [few, grown] = [new ArrayBuffer(1000), new ArrayBuffer(2_000_000)];
  const many = Array.from({ length: 40 }, () => new ArrayBuffer(300_000));
  for (const memory of [few, grown, ...many]) {
    const one = reply();
    givenBackFrom(one, new Uint8Array(memory));
    one.emit('finish');
  }
  const again = Array.from({ length: 40 }, lent);
  expect(again.filter((memory) => memory === few || memory === grown)).toEqual([]);
  expect(again.filter((memory) => many.includes(memory))).toHaveLength(16);
});
