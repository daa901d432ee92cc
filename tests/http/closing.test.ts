import { once } from 'node:events';
import { connect } from 'node:net';
import { setTimeout as pause } from 'node:timers/promises';
import { expect, test } from 'vitest';
import type { Compute } from '../../src/service/contract.ts';
import { readerKey, statelessApp } from './fakes.ts';

/** Two requests down one connection; the head of the second ends only when told to. Gives the second answer. */
const secondOf = (address: string, path: string) => {
  const socket = connect(Number(new URL(address).port), '127.0.0.1');
  let text = '';
  socket.on('data', (bytes) => {
    text += bytes;
  });
  socket.write(`GET /health HTTP/1.1\r\nHost: a\r\n\r\nGET ${path} HTTP/1.1\r\nHost: a\r\n`);
  return {
    end: () => socket.write('\r\n'),
    answer: once(socket, 'close').then(() => text.split(/(?=HTTP\/1\.1 )/)[1] ?? ''),
  };
};

test('told to stop, it answers what is under way and what still comes in on an open connection, then closes it', async () => {
  let release = (): void => undefined;
  const held = new Promise<void>((resolve) => {
    release = resolve;
  });
  const compute = {
    outlook: async () => {
      await held;
      return new TextEncoder().encode('{"done":true}');
    },
  } as unknown as Compute;
  const app = await statelessApp({ compute });
  const address = await app.listen({ host: '127.0.0.1', port: 0 });
  const slow = fetch(`${address}/v1/outlooks`, {
    method: 'POST',
    // What stands in for the workers here does not pack.
    headers: { ...readerKey, 'content-type': 'application/json', 'accept-encoding': 'identity' },
    body: '{}',
  });
  const late = secondOf(address, '/errors');
  const balancer = secondOf(address, '/ready');
  await pause(100);
  const closed = app.close();
  await pause(100);
  late.end();
  balancer.end();
  await pause(100);
  release();
  expect(await (await slow).json()).toEqual({ done: true });
  await closed;
  const answered = (await late.answer).toLowerCase();
  expect(answered).toMatch(/^http\/1\.1 200/);
  expect(answered).toContain('connection: close');
  const refused = await balancer.answer;
  expect(refused).toMatch(/^HTTP\/1\.1 503/);
  expect(refused.toLowerCase()).toContain('connection: close');
  expect(refused.toLowerCase()).toContain('retry-after:');
  expect(refused).toContain('"type":"/errors#overloaded"');
});

test('connections that were opened ahead and ask nothing do not hold up the end', async () => {
  const app = await statelessApp();
  const { port } = new URL(await app.listen({ host: '127.0.0.1', port: 0 }));
  const socket = connect(Number(port), '127.0.0.1');
  await new Promise((resolve) => socket.once('connect', resolve));
  const before = Date.now();
  await app.close();
  expect(Date.now() - before).toBeLessThan(3000);
});
