import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { caller, good, type Reply } from '../../support/api.ts';
import { folderWith } from '../../support/files.ts';
import { type MadeFarm, madeFarm } from '../../support/madeFarm.ts';
import { operatorKey, type ServerProcess, startServer } from '../../support/serverProcess.ts';
import { mixedJobs } from './mixed.ts';

/** How long; CI asks for five minutes. */
const SECONDS = Number(process.env.WHITETHREAD_SOAK_SECONDS ?? 20);
const PER_SECOND = 50;
const SAMPLE_MS = 1000;
const MEGABYTE = 1024 * 1024;

let server: ServerProcess;
let operator = '';
let farm: MadeFarm;
let countIds: readonly string[] = [];

beforeAll(async () => {
  const store = `sqlite:${folderWith({})}/soak.db`;
  operator = await operatorKey(store);
  server = await startServer({ store });
  farm = await madeFarm(server.address, operator);
  const [fieldId] = farm.fieldIds;
  good(await farm.call('POST', `${farm.path}/passes`, { fieldId, date: '2026-05-09', implement: 'rotary-hoe' }));
  const made = Array.from({ length: 20 }, async () =>
    good(
      await farm.call('POST', `${farm.path}/counts`, { fieldId, date: '2026-05-11', species: 'waterhemp', perM2: 4 }),
    ),
  );
  countIds = (await Promise.all(made)).map(({ id }) => id);
}, 120_000);
afterAll(() => server?.stop());

type Memory = { readonly wholeMb: number; readonly heapMb: number };

/** Memory of the whole server process, and what of it the objects of its main thread take. */
const memory = async (): Promise<Memory> => {
  const { text } = await caller(server.address, operator)('GET', '/metrics', undefined, { accept: 'text/plain' });
  const figure = (name: string): number => Number(new RegExp(`^${name} (\\S+)`, 'm').exec(text)?.[1]) / MEGABYTE;
  return { wholeMb: figure('process_resident_memory_bytes'), heapMb: figure('nodejs_heap_size_used_bytes') };
};

/** A refusal, or a good answer with nothing in it. */
const isFault = ({ status, text }: Reply): boolean => status >= 400 || (status === 200 && text === '');

const at = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] as number;
const part = (values: readonly number[], from: number, to: number): number[] =>
  values.slice(Math.floor(from * values.length), Math.ceil(to * values.length));

test(
  `${SECONDS} s at ${PER_SECOND} requests a second, mixed: no error, memory flat`,
  async () => {
    const job = mixedJobs(farm, countIds);
    const faults: string[] = [];
    const tookMs: number[] = [];
    const seen: Memory[] = [];
    const running = new Set<Promise<void>>();
    const run = async (turn: number): Promise<void> => {
      const start = performance.now();
      try {
        const replies = await job(turn);
        tookMs.push((performance.now() - start) / replies.length);
        faults.push(...replies.filter(isFault).map(({ status, text }) => `${status} ${text}`));
      } catch (error) {
        faults.push(String(error));
      }
    };
    const start = performance.now();
    for (let turn = 0; turn < SECONDS * PER_SECOND; turn++) {
      const due = start + (turn * 1000) / PER_SECOND;
      if (due > performance.now()) await pause(due - performance.now());
      const one = run(turn);
      running.add(one);
      one.finally(() => running.delete(one));
      if (turn % ((PER_SECOND * SAMPLE_MS) / 1000) === 0) seen.push(await memory());
    }
    await Promise.all(running);

    const whole = seen.map(({ wholeMb }) => wholeMb);
    const heap = seen.map(({ heapMb }) => heapMb);
    // What is left between two collections of garbage, early and late.
    const [early, late] = [at(part(heap, 0.3, 0.6), 0.1), at(part(heap, 0.7, 1), 0.1)];
    console.log(
      `soak: ${tookMs.length} jobs, ms p50 ${at(tookMs, 0.5).toFixed(1)} p99 ${at(tookMs, 0.99).toFixed(1)}; ` +
        `objects MB ${early.toFixed(1)} then ${late.toFixed(1)}; memory MB ${at(part(whole, 0.3, 0.6), 0.5).toFixed(0)} ` +
        `then ${at(part(whole, 0.7, 1), 0.5).toFixed(0)}, most ${Math.max(...whole).toFixed(0)}`,
    );
    expect(faults.slice(0, 5)).toEqual([]);
    expect(tookMs).toHaveLength(SECONDS * PER_SECOND);
    expect(Math.max(...whole)).toBeLessThan(512);
    // A process warms up for a minute or so; after that a leak of a kilobyte a request would show as 6 MB in CI.
    if (SECONDS >= 120) expect(late - early).toBeLessThan(3);
  },
  SECONDS * 1000 + 60_000,
);
