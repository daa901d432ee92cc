import { once } from 'node:events';
import type { Socket } from 'node:net';
import { connect } from 'node:net';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type Stored, storedApp } from './stored.ts';

type Line = Readonly<Record<string, unknown>>;

let lines: Line[];
let stored: Stored;
let port: number;

beforeEach(async () => {
  lines = [];
  stored = await storedApp({ logLevel: 'info', logTo: { write: (line) => void lines.push(JSON.parse(line)) } });
  port = Number(new URL(await stored.app.listen({ host: '127.0.0.1', port: 0 })).port);
  lines.length = 0;
});
afterEach(() => stored.close());

/** A caller's end of a connection, the server's end, and what came back. */
const talk = async () => {
  const accepted = once(stored.app.server, 'connection') as Promise<[Socket]>;
  const caller = connect({ port, host: '127.0.0.1', allowHalfOpen: true });
  let text = '';
  caller.on('data', (data) => {
    text += data;
  });
  const [socket] = await accepted;
  return { caller, socket, heard: () => text };
};
const problemOf = (text: string) => JSON.parse(text.split('\r\n\r\n')[1] ?? '');
const idOf = (text: string): string | undefined => /x-request-id: (.+)\r/i.exec(text)?.[1];

test('a request that comes too slowly is told how long it may take, and is not done when the rest comes', async () => {
  const [{ id }] = stored.farms;
  const before = (await stored.deps.store.keys(id)).length;
  const { caller, socket, heard } = await talk();
  const body = JSON.stringify({ role: 'reader', label: 'Slow' });
  caller.write(
    `POST /v1/farms/${id}/keys HTTP/1.1\r\nHost: a\r\nAuthorization: Bearer ${stored.operator}\r\nContent-Type: application/json\r\nContent-Length: ${body.length}\r\n\r\n${body.slice(0, 9)}`,
  );
  await wait(50);
  // As the server says it when it looks for slow ones, half a minute from now.
  const late = Object.assign(new Error('Request timeout'), { code: 'ERR_HTTP_REQUEST_TIMEOUT' });
  stored.app.server.emit('clientError', late, socket);
  await wait(50);
  expect(heard()).toMatch(/^HTTP\/1\.1 408 /);
  const document = problemOf(heard());
  expect(document).toMatchObject({ status: 408, instance: idOf(heard()) });
  expect(document.problems).toEqual([
    {
      code: 'invalid-input',
      where: 'request',
      given: 'one that was not here whole after 30 s',
      allowed: '30 s from the first byte to the last',
      advice: expect.stringContaining('Nothing of it was done'),
    },
  ]);
  expect(lines).toContainEqual(
    expect.objectContaining({ level: 30, msg: 'refused', status: 408, reqId: document.instance, ip: '127.0.0.1' }),
  );
  caller.end(body.slice(9));
  await wait(100);
  expect(await stored.deps.store.keys(id)).toHaveLength(before);
  expect(lines.filter(({ audit }) => audit !== undefined)).toEqual([]);
  expect(socket.destroyed).toBe(true);
});

test('header fields that are too large are told how large they may be, with an id that the log has', async () => {
  const { caller, heard } = await talk();
  caller.write(`GET / HTTP/1.1\r\nHost: a\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`);
  await once(caller, 'end');
  caller.destroy();
  const document = problemOf(heard());
  expect(document.status).toBe(431);
  expect(document.problems[0]).toMatchObject({ given: 'more than 16384 bytes of header fields' });
  expect(lines).toEqual([expect.objectContaining({ msg: 'refused', status: 431, reqId: idOf(heard()) })]);
});

test.each([
  ['Host: a\r\nExpect: foo', 417, { where: 'header Expect', given: 'foo', allowed: '100-continue, or none' }],
  ['Connection: close', 400, { where: 'header Host', given: 'nothing', allowed: 'the name of this server' }],
])('%j is a problem too, with an id that the log has, and nothing is done', async (fields, status, problem) => {
  const [{ id }] = stored.farms;
  const before = (await stored.deps.store.keys(id)).length;
  const { caller, heard } = await talk();
  const body = JSON.stringify({ role: 'reader', label: 'Odd' });
  caller.write(
    `POST /v1/farms/${id}/keys HTTP/1.1\r\n${fields}\r\nAuthorization: Bearer ${stored.operator}\r\nContent-Type: application/json\r\nContent-Length: ${body.length}\r\n\r\n${body}`,
  );
  await once(caller, 'end');
  caller.destroy();
  expect(heard()).toMatch(new RegExp(`^HTTP/1\\.1 ${status} [^]*\r\ncontent-type: application/problem\\+json`, 'i'));
  const document = problemOf(heard());
  expect([document.status, document.instance]).toEqual([status, idOf(heard())]);
  expect(document.problems[0]).toMatchObject(problem);
  expect(lines).toEqual([expect.objectContaining({ msg: 'refused', status, reqId: idOf(heard()), ip: '127.0.0.1' })]);
  expect(await stored.deps.store.keys(id)).toHaveLength(before);
});

test('HTTP/1.0 needs no Host, and a body may wait until it is asked for', async () => {
  const old = await talk();
  old.caller.write('GET /health HTTP/1.0\r\n\r\n');
  await once(old.caller, 'end');
  expect(old.heard()).toMatch(/^HTTP\/1\.1 200 /);
  old.caller.destroy();
  const patient = await talk();
  patient.caller.write('POST /v1/outlooks HTTP/1.1\r\nHost: a\r\nExpect: 100-continue\r\nContent-Length: 2\r\n\r\n');
  await wait(50);
  expect(patient.heard()).toMatch(/^HTTP\/1\.1 100 /);
  patient.caller.write('{}');
  await wait(50);
  expect(patient.heard()).toContain('HTTP/1.1 401 ');
  patient.caller.destroy();
});
