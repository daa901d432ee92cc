import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { SoilDays } from '../../src/core/soil/days.ts';
import type { Soil } from '../../src/core/soil/schema.ts';
import { soilDays } from '../../src/core/soil/soil.ts';
import type { WeatherDays } from '../../src/core/weather/series.ts';
import type { WeedDays } from '../../src/core/weeds/days.ts';
import type { Species } from '../../src/core/weeds/schema.ts';
import { weedDays } from '../../src/core/weeds/weeds.ts';
import { kernelHeader } from './kernelData.ts';
import { benchSite, benchWeather } from './weather.ts';

/** The first day of the invented weather, 1 January 1980. */
const START = 3652;

/** What a run reads: weather of so many days, and a thin cover. */
export type KernelInput = { readonly weather: WeatherDays; readonly cover: Float64Array };

export const kernelInput = (days: number): KernelInput => ({
  weather: benchWeather(START, days),
  cover: new Float64Array(days).fill(0.1),
});

const ground: Soil = {
  texture: 'silt-loam',
  organicMatterFrac: 0.025,
  drainage: 'moderate',
  residueCoverFrac: 0.1,
  slopeFrac: 0,
};

/** Sum of every column, by name. */
export type Sums = ReadonlyMap<string, number>;

/** Soil and weeds in TypeScript. */
export const kernelRun = (
  { weather, cover }: KernelInput,
  species: readonly Species[],
): { soil: SoilDays; weeds: WeedDays } => {
  const soil = soilDays(weather, benchSite, ground, cover, []);
  return { soil, weeds: weedDays(soil, weather, species, [], false) };
};

const total = (values: Float64Array | Uint8Array): number => {
  let sum = 0;
  for (const value of values) sum += value;
  return sum;
};

/** The same names as kernel.c prints. */
export const kernelSums = ({ soil, weeds }: ReturnType<typeof kernelRun>): Sums => {
  const sums = new Map<string, number>();
  for (const [name, column] of Object.entries(soil))
    if (column instanceof Float64Array || column instanceof Uint8Array) sums.set(name, total(column));
  for (const [k, layer] of soil.waterM3PerM3.entries()) sums.set(`water${k}`, total(layer));
  for (const [s, one] of weeds.species.entries()) {
    for (const name of ['germinatedFrac', 'potentialFrac', 'emergedFrac', 'deadFrac'] as const)
      sums.set(`species${s}.${name}`, total(one[name]));
    for (const [k, stock] of one.stockFrac.entries()) sums.set(`species${s}.stock${k}`, total(stock));
  }
  return sums;
};

/** Nanoseconds a field-day of the fastest and the middle run, and the sums of one. */
export type CRun = { readonly fastestNs: number; readonly middleNs: number; readonly sums: Sums };

const compilers = ['cc', 'gcc', 'clang'];

const readRun = (text: string): CRun => {
  const [first, ...rest] = text.trim().split('\n');
  const [, fastestNs, middleNs] = (first ?? '').split(' ').map(Number);
  const sums = new Map(
    rest.map((line) => {
      const [name, value] = line.split(' ');
      return [name ?? '', Number(value)] as const;
    }),
  );
  return { fastestNs: fastestNs ?? Number.NaN, middleNs: middleNs ?? Number.NaN, sums };
};

/** The C program compiled and ready; null when no compiler is found. `end` removes it. */
export const cKernel = (
  { weather, cover }: KernelInput,
  species: readonly Species[],
): { run: (times: number) => CRun; end: () => void } | null => {
  const compiler = compilers.find((name) => spawnSync(name, ['--version']).status === 0);
  if (compiler === undefined) return null;
  const folder = mkdtempSync(join(tmpdir(), 'kernel-'));
  const program = join(folder, 'kernel');
  const columns = join(folder, 'columns');
  const source = fileURLToPath(new URL('kernel.c', import.meta.url));
  writeFileSync(join(folder, 'kernel-data.h'), kernelHeader(weather, benchSite, ground, species));
  writeFileSync(
    columns,
    Buffer.concat(
      [weather.tempMaxC, weather.tempMinC, weather.rainMm, cover].map((column) => Buffer.from(column.buffer)),
    ),
  );
  const built = spawnSync(
    compiler,
    ['-O3', '-march=native', '-std=gnu11', `-I${folder}`, '-o', program, source, '-lm'],
    {
      encoding: 'utf8',
    },
  );
  if (built.status !== 0) throw new Error(`kernel.c does not compile with ${compiler}:\n${built.stderr}`);
  return {
    run: (times) => {
      const { status, stdout } = spawnSync(program, [columns, String(times)], { encoding: 'utf8' });
      if (status !== 0) throw new Error(`the C kernel ended with ${status}`);
      return readRun(stdout);
    },
    end: () => rmSync(folder, { recursive: true, force: true }),
  };
};
