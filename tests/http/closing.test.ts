import { connect } from 'node:net';
import { expect, test } from 'vitest';
import type { Compute } from '../../src/service/contract.ts';
import { readerKey, statelessApp } from './fakes.ts';

test('a request under way finishes; a new one on an open connection gets 503 and the connection closes', async () => {
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
  // Two requests down one connection: the second arrives after the server was told to stop.
  const pipelined = new Promise<string>((resolve) => {
    const { port } = new URL(address);
    const socket = connect(Number(port), '127.0.0.1');
    let text = '';
    socket.on('data', (bytes) => {
      text += bytes;
    });
    socket.on('close', () => resolve(text));
    socket.write('GET /health HTTP/1.1\r\nHost: a\r\n\r\nGET /v1/nothing HTTP/1.1\r\nHost: a\r\n');
    // The second request's head ends only after the word to stop.
    setTimeout(() => socket.write('\r\n'), 300);
  });
  await new Promise((resolve) => setTimeout(resolve, 100));
  const closed = app.close();
  await new Promise((resolve) => setTimeout(resolve, 400));
  release();
  expect(await (await slow).json()).toEqual({ done: true });
  await closed;
  const [, second = ''] = (await pipelined).split(/(?=HTTP\/1\.1 503)/);
  expect(second).toMatch(/^HTTP\/1\.1 503/);
  expect(second.toLowerCase()).toContain('connection: close');
  expect(second.toLowerCase()).toContain('retry-after:');
  expect(second).toContain('"type":"/errors#overloaded"');
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
