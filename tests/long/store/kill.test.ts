import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { openSqlite } from '../../../src/store/sqlite.ts';
import { scratchFolder, testFolder } from '../../support/folder.ts';
import { plainJs } from './plainJs.ts';
import { stateOf } from './state.ts';

const script = plainJs(fileURLToPath(new URL('../../support/rowWriter.ts', import.meta.url)), scratchFolder());
const KILLS = 200;
const LANES = 2;

const written = (child: ChildProcess): (() => string) => {
  let text = '';
  child.stdout?.setEncoding('utf8').on('data', (part) => {
    text += part;
  });
  return () => text;
};

/** Lets a process write until it is killed, at a moment by chance; gives the ids it had acknowledged. */
const killedWriter = async (path: string, prefix: string, isEarly: boolean): Promise<string[]> => {
  const child = spawn(process.execPath, [script, path, prefix, '1000000'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const text = written(child);
  const closed = once(child, 'close');
  if (isEarly) await pause(Math.random() * 400);
  else {
    while (text() === '') await pause(5);
    await pause(Math.random() * 80);
  }
  child.kill('SIGKILL');
  await closed;
  // A line that was cut off was not acknowledged.
  return text().split('\n').slice(0, -1);
};

test(`kill -9, ${KILLS} times while rows are written: no acknowledged row is lost, the file is whole, it opens within a second`, async () => {
  const lane = async (number: number) => {
    const path = join(testFolder(), 'farms.db');
    let acknowledged = 0;
    let slowestMs = 0;
    const lost: string[] = [];
    const broken: unknown[] = [];
    for (let i = 0; i < KILLS / LANES; i++) {
      // Every tenth is killed as it opens, or as it makes the tables.
      const ids = await killedWriter(path, `lane${number}-${String(i).padStart(3, '0')}-`, i % 10 === 0);
      const started = performance.now();
      const store = await openSqlite({ path });
      slowestMs = Math.max(slowestMs, performance.now() - started);
      const kept = new Set(
        (
          await store.list('f', 'field', { after: `lane${number}-${String(i).padStart(3, '0')}-`, limit: 1_000_000 })
        ).map(({ id }) => id),
      );
      await store.close();
      lost.push(...ids.filter((id) => !kept.has(id)));
      acknowledged += ids.length;
      const { integrity, parts } = stateOf(path);
      if (integrity !== 'ok' || parts > 0) broken.push({ i, integrity, parts });
    }
    const { counts } = stateOf(path);
    return { acknowledged, lost, broken, slowestMs, kept: (counts.records ?? 0) - 1 };
  };
  const lanes = await Promise.all(Array.from({ length: LANES }, (_, number) => lane(number)));
  for (const { lost, broken, slowestMs, acknowledged, kept } of lanes) {
    expect(lost).toEqual([]);
    expect(broken).toEqual([]);
    expect(slowestMs).toBeLessThan(1000);
    expect(acknowledged).toBeGreaterThan(KILLS);
    expect(kept).toBeGreaterThanOrEqual(acknowledged);
  }
  const sum = (of: (lane: (typeof lanes)[number]) => number) => lanes.map(of).reduce((a, b) => a + b, 0);
  const [rows, kept] = [sum((lane) => lane.acknowledged), sum((lane) => lane.kept)];
  const slowest = Math.round(Math.max(...lanes.map((lane) => lane.slowestMs)));
  console.log(`${KILLS} kills: ${rows} rows acknowledged, ${kept} kept; slowest opening ${slowest} ms`);
});
