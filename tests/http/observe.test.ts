import { once } from 'node:events';
import { connect } from 'node:net';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Store } from '../../src/store/contract.ts';
import { type Stored, storedApp } from './stored.ts';

type Line = Readonly<Record<string, unknown>>;

const plain = (_: string, code: string): string => String.fromCharCode(Number.parseInt(code, 16));

describe('what is told of a request', () => {
  const lines: Line[] = [];
  let stored: Stored;
  let port: number;
  let slowMs = 0;

  beforeEach(async () => {
    slowMs = 0;
    stored = await storedApp({
      logLevel: 'debug',
      logTo: { write: (line) => void lines.push(JSON.parse(line)) },
    });
    const { store } = stored.deps;
    const addKey = store.addKey;
    Object.assign(store, {
      addKey: async (...given: Parameters<Store['addKey']>) => {
        await wait(slowMs);
        return addKey(...given);
      },
    });
    port = Number(new URL(await stored.app.listen({ host: '127.0.0.1', port: 0 })).port);
    lines.length = 0;
  });
  afterEach(() => stored.close());

  const keysOf = (farmId: string): string => `/v1/farms/${farmId}/keys`;
  const post = (path: string, body: unknown): string => {
    const text = JSON.stringify(body);
    return `POST ${path} HTTP/1.1\r\nHost: a\r\nAuthorization: Bearer ${stored.operator}\r\nContent-Type: application/json\r\nContent-Length: ${text.length}\r\n\r\n${text}`;
  };
  /** Sends bytes and breaks the connection off after a while. */
  const hangUp = async (bytes: string, afterMs: number): Promise<void> => {
    const socket = connect(port, '127.0.0.1');
    await once(socket, 'connect');
    socket.write(bytes);
    await wait(afterMs);
    socket.resetAndDestroy();
  };
  const counted = async (status: number): Promise<number> => {
    const { body } = await stored.ask('GET', '/metrics');
    const count = new RegExp(
      `seconds_count\\{method="POST",route="/v1/farms/:farmId/keys",status="${status}"\\} (\\d+)`,
    );
    return Number(count.exec(body)?.[1] ?? 0);
  };

  test('a change whose caller hung up before it was made is told once it is', async () => {
    slowMs = 120;
    const [{ id }] = stored.farms;
    await hangUp(post(keysOf(id), { role: 'reader', label: 'Gone' }), 40);
    await wait(30);
    expect(lines).toEqual([]);
    await wait(150);
    expect(lines).toEqual([
      expect.objectContaining({ msg: 'change', audit: 'createFarmKey', status: 201, farmId: id, hungUp: true }),
    ]);
    expect(await counted(201)).toBe(1);
  });

  test('so is each of two that were sent at once', async () => {
    slowMs = 120;
    const [{ id }] = stored.farms;
    const one = post(keysOf(id), { role: 'reader', label: 'Gone' });
    await hangUp(one + one, 40);
    await wait(200);
    expect(lines.map(({ audit, hungUp }) => [audit, hungUp])).toEqual([
      ['createFarmKey', true],
      ['createFarmKey', true],
    ]);
    expect(await counted(201)).toBe(2);
  });

  test('one that is refused after its caller hung up is no change', async () => {
    slowMs = 120;
    const store = stored.deps.store;
    Object.assign(store, { addKey: () => wait(80).then(() => Promise.reject(new Error('the disk is gone'))) });
    const [{ id }] = stored.farms;
    await hangUp(post(keysOf(id), { role: 'reader', label: 'Gone' }), 40);
    await wait(150);
    expect(lines.filter(({ audit }) => audit !== undefined)).toEqual([]);
    expect(lines.filter(({ msg }) => msg === 'refused')).toEqual([
      expect.objectContaining({ status: 500, hungUp: true }),
    ]);
    expect(await counted(500)).toBe(1);
  });

  test('a body that breaks off is told as refused', async () => {
    const [{ id }] = stored.farms;
    await hangUp(post(keysOf(id), { role: 'reader', label: 'Gone' }).slice(0, -5), 40);
    await wait(80);
    expect(lines).toEqual([expect.objectContaining({ msg: 'refused', status: 400, hungUp: true })]);
  });

  test.each([
    ['as it is', 2, (key: string) => key],
    ['percent-encoded', 2, (key: string) => key.replace('wt_', '%77t%5f')],
    ['all of it', 2, (key: string) => key.replace(/./g, (letter) => `%${letter.charCodeAt(0).toString(16)}`)],
    ['encoded twice', 2, (key: string) => key.replace('wt_', 'wt%255F')],
    ['in a broken address', 0, (key: string) => `%E0%A4%A${key}`],
    ['in the query', 2, (key: string) => `${'x'.repeat(26)}?key=${key}&${key}=1`],
  ])('a whole key in the address, %s, is neither in the log nor in the answer', async (_, told, spelled) => {
    const [{ id, keys }] = stored.farms;
    const secret = keys.reader.slice(30);
    for (const path of [`${keysOf(id)}/${spelled(keys.reader)}`, `/v1/nowhere/${spelled(keys.reader)}`]) {
      const answer = await stored.ask('DELETE', path);
      expect(answer.statusCode).toBeGreaterThanOrEqual(400);
      expect(answer.body).not.toContain(secret);
      expect(answer.body.replace(/%([0-7][0-9a-f])/g, plain)).not.toContain(secret);
    }
    expect(lines).toHaveLength(told);
    expect(JSON.stringify(lines).replace(/%([0-7][0-9a-f])/g, plain)).not.toContain(secret);
  });

  test('who gives the whole key for its id is told how to find the id', async () => {
    const [{ id, keys }] = stored.farms;
    const whole = (await stored.ask('DELETE', `${keysOf(id)}/${keys.reader}`)).json();
    expect(whole.problems).toEqual([
      expect.objectContaining({ where: 'path.keyId', advice: expect.stringContaining('26 characters between wt_') }),
    ]);
    const part = await stored.ask('DELETE', `${keysOf(id)}/${keys.reader.slice(0, 29)}`);
    expect([part.statusCode, part.json().problems[0].advice]).toEqual([
      404,
      'The id of a key is the 26 characters between wt_ and the next _',
    ]);
    expect((await stored.ask('DELETE', `${keysOf(id)}/${keys.reader.slice(3, 29)}`)).statusCode).toBe(204);
  });

  test('the line of a change names what was made, of a key also what it opens', async () => {
    const [farm] = stored.farms;
    const url = `/v1/farms/${farm.id}/machines`;
    const headers = { 'idempotency-key': 'tablet-7-machine' };
    const record = { body: { name: 'The old hoe', id: 'rotary-hoe', widthM: 6.4 }, headers };
    const machine = (await stored.ask('POST', url, record)).json();
    await stored.ask('POST', url, record);
    const key = (await stored.ask('POST', keysOf(farm.id), { body: { role: 'planner', label: 'Tablet' } })).json();
    await stored.ask('DELETE', `${keysOf(farm.id)}/${key.id}`);
    const told = lines.map(({ audit, made, role, label, replayed }) => [audit, made, role, label, replayed]);
    expect(told).toEqual([
      ['createMachine', machine.id, undefined, undefined, undefined],
      ['createMachine', machine.id, undefined, undefined, true],
      ['createFarmKey', key.id, 'planner', 'Tablet', undefined],
      ['revokeFarmKey', undefined, undefined, undefined, undefined],
    ]);
  });

  test('the line of an operator names the farm of the address, and none where there is none', async () => {
    const [{ id, keys }] = stored.farms;
    await stored.ask('POST', `/v1/farms/${id}/machines`, { body: { name: 'Hoe', id: 'rotary-hoe' } });
    await stored.ask('DELETE', `/v1/farms/${id}/keys/${keys.reader.slice(3, 29)}`);
    await stored.ask('POST', '/v1/farms', { body: { name: 'Third', timeZone: 'America/Chicago' } });
    await stored.ask('POST', `/v1/farms/${keys.planner}/machines`, { body: {} });
    expect(lines.map(({ audit, status, farmId }) => [audit, status, farmId])).toEqual([
      ['createMachine', 201, id],
      ['revokeFarmKey', 204, id],
      ['createFarm', 201, null],
      [undefined, 400, `${keys.planner.slice(0, 30)}...`],
    ]);
  });

  test('the line of a wrong key has the address of the caller and the id of the key, never its secret', async () => {
    const [{ keys }] = stored.farms;
    const wrong = `${keys.reader.slice(0, -5)}wrong`;
    await stored.ask('GET', '/v1/farms', { key: wrong });
    await stored.ask('GET', '/v1/farms', { key: 'guessed' });
    for (let more = 0; more < 9; more++) await stored.ask('GET', '/v1/farms', { key: wrong });
    const of = (status: number) => ({ status, ip: '127.0.0.1', givenKeyId: keys.reader.slice(3, 29) });
    expect(lines[0]).toMatchObject(of(401));
    expect(lines[1]).toMatchObject({ status: 401, ip: '127.0.0.1' });
    expect(lines[1]).not.toHaveProperty('givenKeyId');
    expect(lines.at(-1)).toMatchObject(of(429));
    expect(JSON.stringify(lines)).not.toContain(keys.reader.slice(30, 60));
    expect(JSON.stringify(lines)).not.toContain('guessed');
  });

  test('a caller who waits is told of once, and not as one who hung up', async () => {
    const [{ id }] = stored.farms;
    const answer = await fetch(`http://127.0.0.1:${port}${keysOf(id)}`, {
      method: 'POST',
      headers: { authorization: `Bearer ${stored.operator}`, 'content-type': 'application/json', connection: 'close' },
      body: JSON.stringify({ role: 'reader', label: 'Here' }),
    });
    await answer.text();
    await wait(50);
    expect(lines).toEqual([expect.objectContaining({ msg: 'change', status: 201 })]);
    expect(lines[0]).not.toHaveProperty('hungUp');
    expect(await counted(201)).toBe(1);
  });
});
