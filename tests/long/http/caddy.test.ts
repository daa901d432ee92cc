import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chapters, storyEnds, storyTold } from '../../story/told.ts';
import { caller } from '../../support/api.ts';
import { type Caddy, hasCaddy, startCaddy } from '../../support/caddy.ts';
import { folderWith } from '../../support/files.ts';
import { type MadeFarm, madeFarm } from '../../support/madeFarm.ts';
import { operatorKey, type ServerProcess, startServer } from '../../support/serverProcess.ts';

if (!hasCaddy()) console.log('two replicas behind docker/Caddyfile: left out, no caddy here');

describe.runIf(hasCaddy())('two replicas behind docker/Caddyfile', () => {
  const folder = folderWith({});
  const store = `sqlite:${folder}/replicas.db`;
  let replicas: ServerProcess[] = [];
  let caddy: Caddy;
  let operator = '';

  beforeAll(async () => {
    operator = await operatorKey(store);
    replicas = [await startServer({ store }), await startServer({ store })];
    caddy = await startCaddy(
      replicas.map(({ address }) => address),
      folder,
    );
  }, 120_000);
  afterAll(async () => {
    await caddy?.stop();
    await Promise.all(replicas.map((replica) => replica.stop()));
    storyEnds();
  });

  test('tell the same story as one server, and keep their figures inside', async () => {
    expect(await storyTold(caddy.address, operator)).toEqual(chapters);
    const figures = await caller(caddy.address, operator)('GET', '/metrics', undefined, { accept: 'text/plain' });
    expect(figures.status).toBe(404);
    expect(figures.text).toBe('');
  }, 120_000);

  /** Reads without pause until told to stop, and gives every status, with its text where that is not 200. */
  const reads = async (farm: MadeFarm, until: () => boolean): Promise<string[]> => {
    const answers: string[] = [];
    while (!until()) {
      const { status, text } = await farm.call('GET', `${farm.path}/fields`);
      answers.push(status === 200 ? '200' : `${status} ${text}`);
      await pause(5);
    }
    return answers;
  };

  test('one after the other is replaced under load, and every read is answered', async () => {
    const farm = await madeFarm(caddy.address, operator);
    let stopped = false;
    const under = Promise.all(Array.from({ length: 4 }, () => reads(farm, () => stopped)));
    for (const i of [0, 1]) {
      const { address, stop } = replicas[i] as ServerProcess;
      expect(await stop()).toBe(0);
      await pause(1000);
      replicas[i] = await startServer({ store, port: Number(new URL(address).port) });
      // Until the proxy has seen that it is ready again.
      await pause(6000);
    }
    stopped = true;
    const answers = (await under).flat();
    expect(answers.filter((answer) => answer !== '200')).toEqual([]);
    expect(answers.length).toBeGreaterThan(200);
    console.log(`replicas replaced one after the other: ${answers.length} reads, all answered`);
  }, 120_000);
});
