import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { connect } from 'node:net';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { App } from '../../src/http/contract.ts';
import { operatorKey, statelessApp } from './fakes.ts';

const MIB = 1024 * 1024;
let app: App;
let address = '';
beforeAll(async () => {
  app = await statelessApp();
  address = await app.listen({ host: '127.0.0.1', port: 0 });
});
afterAll(() => app.close());

const headers = { ...operatorKey, 'content-type': 'application/json' };
const large = JSON.stringify({ name: 'x'.repeat(10 * MIB) });

test.each([1, 2, 3, 4, 5])('a body that is far too large: 413 arrives, time %i', async () => {
  const answer = await fetch(`${address}/v1/farms`, { method: 'POST', headers, body: large });
  expect(answer.status).toBe(413);
  expect(await answer.json()).toMatchObject({ problems: [{ where: 'body', allowed: 'at most 1048576 bytes' }] });
});

/** A connection that has sent the head of a request, and everything that it was told. */
const begun = (...fields: string[]) => {
  const socket = connect({ port: Number(new URL(address).port), host: '127.0.0.1', allowHalfOpen: true });
  const sent = ['Host: a', 'Content-Type: application/json', `Authorization: ${operatorKey.authorization}`, ...fields];
  socket.write(`POST /v1/farms HTTP/1.1\r\n${sent.join('\r\n')}\r\n\r\n`);
  const told = { text: '', broken: false };
  socket.on('data', (bytes) => {
    told.text += bytes;
  });
  socket.on('error', () => {
    told.broken = true;
  });
  const over = new Promise((resolve) => socket.once('close', resolve));
  return { socket, told, over };
};

/** Sends until all is sent or the connection is over; gives the bytes that went. */
const pushed = async ({ socket, over }: ReturnType<typeof begun>, piece: Buffer, most: number): Promise<number> => {
  let bytes = 0;
  for (; bytes < most && !socket.destroyed; bytes += piece.length)
    if (!socket.write(piece)) await Promise.race([new Promise((resolve) => socket.once('drain', resolve)), over]);
  return bytes;
};

test.each([
  ['of a length that is told', `Content-Length: ${8 * MIB}`],
  ['of a connection that is for one request', `Content-Length: ${8 * MIB}\r\nConnection: close`],
])('a sender that reads only once all is sent, %s, finds the answer', async (_, length) => {
  const sender = begun(length);
  const { socket, told, over } = sender;
  await once(socket, 'connect');
  expect(await pushed(sender, Buffer.alloc(MIB / 4, ' '), 8 * MIB)).toBe(8 * MIB);
  socket.end();
  await over;
  expect(told).toMatchObject({ broken: false, text: expect.stringMatching(/^HTTP\/1\.1 413 [\s\S]*body-too-large/) });
});

test('also where it is packed', async () => {
  const packed = gzipSync(randomBytes(8 * MIB));
  const sender = begun(`Content-Length: ${packed.length}`, 'Content-Encoding: gzip');
  expect(await pushed(sender, packed, packed.length)).toBe(packed.length);
  sender.socket.end();
  await sender.over;
  expect(sender.told).toMatchObject({ broken: false, text: expect.stringMatching(/^HTTP\/1\.1 413 /) });
});

test('what comes behind the body of a connection that ends is no request', async () => {
  const { socket, told, over } = begun(`Content-Length: ${2 * MIB}`);
  socket.write(Buffer.alloc(2 * MIB, ' '));
  socket.write('GET /health HTTP/1.1\r\nHost: a\r\n\r\n');
  socket.end();
  await over;
  expect(told.text.match(/HTTP\/1\.1/g)).toHaveLength(1);
});

test('a sender without an end is cut off by bytes', async () => {
  const sender = begun('Transfer-Encoding: chunked');
  const chunk = Buffer.concat([Buffer.from('100000\r\n'), Buffer.alloc(MIB, ' '), Buffer.from('\r\n')]);
  const bytes = await pushed(sender, chunk, 200 * MIB);
  expect(bytes).toBeGreaterThan(32 * MIB);
  expect(bytes).toBeLessThan(60 * MIB);
  expect(sender.told.text).toMatch(/^HTTP\/1\.1 413 /);
});

test('a sender that is slow is cut off by time', async () => {
  const { socket, told, over } = begun(`Content-Length: ${8 * MIB}`);
  const begin = Date.now();
  const drip = setInterval(() => socket.write(' '), 100);
  await over;
  clearInterval(drip);
  expect(Date.now() - begin).toBeGreaterThan(4500);
  expect(Date.now() - begin).toBeLessThan(9000);
  expect(told.text).toMatch(/^HTTP\/1\.1 413 /);
}, 15_000);
