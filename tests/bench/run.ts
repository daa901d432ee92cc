import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { benchField, speciesOf } from './field.ts';
import { type CRun, cKernel, KERNEL_DAYS, kernelRun, kernelSums, type Sums } from './kernel.ts';

/** C and TypeScript take turns, so that a busy moment of the machine slows both. */
const TURNS = 6;
const RUNS = 8;

const ascending = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const at = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] as number;

/** Times of repeated runs, ms. */
const times = (what: () => unknown, runs: number): number[] =>
  Array.from({ length: runs }, () => {
    const start = performance.now();
    what();
    return performance.now() - start;
  });

/** Times of the process itself, ms, as the C program measures them. */
const processorTimes = (what: () => unknown, runs: number): number[] =>
  Array.from({ length: runs }, () => {
    const start = process.cpuUsage();
    what();
    const { user, system } = process.cpuUsage(start);
    return (user + system) / 1000;
  });

/** Sums that are not equal to 1e-6 of their size, each as a line. */
const differences = (ours: Sums, theirs: Sums): string[] =>
  [...theirs]
    .filter(
      ([name, value]) => !(Math.abs((ours.get(name) ?? Number.NaN) - value) <= 1e-6 * Math.max(1, Math.abs(value))),
    )
    .map(([name, value]) => `${name}: ${ours.get(name)} here, ${value} in C`);

/** Growth of the heap over one run, bytes, the middle of several; the columns themselves lie outside the heap. */
const heapGrowth = (what: () => unknown): number => {
  setFlagsFromString('--expose-gc');
  const collect: () => void = runInNewContext('gc');
  const growths = Array.from({ length: 9 }, () => {
    collect();
    const before = process.memoryUsage().heapUsed;
    what();
    return process.memoryUsage().heapUsed - before;
  });
  return at(ascending(growths), 0.5);
};

const catalogue = loadCatalogue();
const species = speciesOf(catalogue);
const kernel = (): unknown => kernelRun(species);
const nsPerDay = (ms: number): number => (ms * 1e6) / KERNEL_DAYS;

const againstC = (): void => {
  times(kernel, 4);
  const c = cKernel(species);
  const ours: number[] = [];
  const theirs: CRun[] = [];
  for (let turn = 0; turn < TURNS; turn++) {
    ours.push(...processorTimes(kernel, RUNS));
    if (c !== null) theirs.push(c.run(RUNS));
  }
  c?.end();
  const own = ascending(ours.map(nsPerDay));
  console.log(`Soil and 12 species, ${KERNEL_DAYS} days, ns a field-day, fastest and middle:`);
  console.log(`  here ${at(own, 0).toFixed(0)} ${at(own, 0.5).toFixed(0)}`);
  const [first] = theirs;
  if (first === undefined) {
    console.log('  no C compiler (cc, gcc, clang) found: the ratio is left out');
    return;
  }
  const fastest = at(ascending(theirs.map(({ fastestNs }) => fastestNs)), 0);
  const middle = at(ascending(theirs.map(({ middleNs }) => middleNs)), 0.5);
  console.log(`  in C ${fastest.toFixed(0)} ${middle.toFixed(0)}`);
  console.log(`  ratio ${(at(own, 0) / fastest).toFixed(2)} ${(at(own, 0.5) / middle).toFixed(2)} (aim: at most 2)`);
  const wrong = differences(kernelSums(kernelRun(species)), first.sums);
  if (wrong.length > 0) {
    console.log(`Columns that differ from the C program:\n${wrong.join('\n')}`);
    process.exitCode = 1;
  } else console.log(`  all ${first.sums.size} columns add up to the same as in C, within 1e-6`);
};

const outlooks = (): void => {
  console.log('Outlook of 365 days, 12 species, 3 implements, ms, fastest, middle and 95 %:');
  for (const [today, horizonDays] of [
    [135, 14],
    [0, 364],
  ] as const) {
    const field = benchField(today, horizonDays);
    const what = () => outlook(field, catalogue);
    times(what, 60);
    const found = ascending(times(what, 100));
    const shown = [0, 0.5, 0.95].map((share) => at(found, share).toFixed(1)).join(' ');
    console.log(`  windows of ${horizonDays + 1} days: ${shown} (aim: under 10)`);
  }
};

againstC();
outlooks();
const bytes = heapGrowth(kernel) / KERNEL_DAYS;
console.log(
  `Heap: ${bytes.toFixed(0)} bytes a field-day, numbers that the engine boxes where it does not inline a call`,
);
