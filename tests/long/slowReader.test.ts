import { connect } from 'node:net';
import { setTimeout as pause } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { pool } from '../../src/http/pool.ts';
import { shownOutlook } from '../../src/service/answer.ts';
import { benchField } from '../bench/field.ts';
import { catalogue, readerKey, statelessApp } from '../http/fakes.ts';

/** Of a whole field, as long as that of a farm: its answer does not fit into one write. */
const fieldOf = (latitudeDeg: number) => {
  const field = benchField(135, 14);
  return { ...field, site: { ...field.site, latitudeDeg } };
};
const expected = (field: ReturnType<typeof fieldOf>): string =>
  JSON.stringify(shownOutlook(outlook(field, catalogue), field.site.timeZone ?? 'UTC'));

test('answers that wait for a slow reader are not written over by those of others', async () => {
  const workers = pool({ threads: 2, queue: 200, mostMs: 60_000 });
  const app = await statelessApp({ compute: workers });
  const address = await app.listen({ host: '127.0.0.1', port: 0 });
  const headers = { ...readerKey, 'content-type': 'application/json', 'accept-encoding': 'identity' };
  const [slowField, otherField] = [fieldOf(41), fieldOf(46)];
  const [slowText, otherText] = [expected(slowField), expected(otherField)];
  expect(slowText).not.toBe(otherText);
  const WAVES = 8;
  const OF_WAVE = 15;

  const socket = connect(Number(new URL(address).port), '127.0.0.1');
  socket.pause();
  const body = JSON.stringify(slowField);
  const head = Object.entries({ host: 'a', 'content-length': body.length, ...headers });
  const request = `POST /v1/outlooks HTTP/1.1\r\n${head.map(([name, value]) => `${name}: ${value}\r\n`).join('')}`;
  // The first waves are taken by the system, whoever reads them; those that come after wait in the server.
  for (let wave = 1; wave <= WAVES; wave++) {
    socket.write(`${request}\r\n${body}`.repeat(OF_WAVE));
    await pause(150);
    const answers = Array.from({ length: OF_WAVE }, () =>
      fetch(`${address}/v1/outlooks`, { method: 'POST', headers, body: JSON.stringify(otherField) }),
    );
    for (const answer of await Promise.all(answers)) {
      expect([answer.status, (await answer.text()) === otherText]).toEqual([200, true]);
    }
  }
  socket.write(`${request}connection: close\r\n\r\n${body}`);
  const parts: Buffer[] = [];
  for await (const part of socket) parts.push(part as Buffer);
  const bodies = Buffer.concat(parts)
    .toString()
    .split(/HTTP\/1\.1 200 [\s\S]*?\r\n\r\n/)
    .slice(1);
  expect(bodies.filter((each) => each === slowText)).toHaveLength(WAVES * OF_WAVE + 1);
  await app.close();
  await workers.close();
});
