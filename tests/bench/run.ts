import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { benchField, speciesOf } from './field.ts';
import { type CRun, cKernel, KERNEL_DAYS, kernelRun, kernelSums, type Sums } from './kernel.ts';

/** C and TypeScript take turns, so that a slow moment of the machine slows both; the ratio is that of a turn. */
const TURNS = 20;
const RUNS = 3;

const ascending = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const at = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] as number;

/** The fastest and the middle one as text. */
const spread = (values: readonly number[], digits: number): string =>
  [0, 0.5].map((share) => at(ascending(values), share).toFixed(digits)).join(' ');

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
    ours.push(nsPerDay(at(ascending(processorTimes(kernel, RUNS)), 0)));
    if (c !== null) theirs.push(c.run(RUNS));
  }
  c?.end();
  console.log(`Soil and 12 species, ${KERNEL_DAYS} days, ns a field-day, fastest and middle of ${TURNS} turns:`);
  console.log(`  here ${spread(ours, 0)}`);
  const [first] = theirs;
  if (first === undefined) {
    console.log('  no C compiler (cc, gcc, clang) found: the ratio is left out');
    return;
  }
  const inC = theirs.map(({ fastestNs }) => fastestNs);
  const ratio = (at(ascending(ours), 0) / at(ascending(inC), 0)).toFixed(2);
  const ratios = ascending(ours.map((ns, turn) => ns / (inC[turn] as number)));
  console.log(`  in C ${spread(inC, 0)}`);
  console.log(`  ratio of the fastest ${ratio}, middle ratio of a turn ${at(ratios, 0.5).toFixed(2)} (aim: at most 2)`);
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
    const found = times(what, 100);
    const shown = `${spread(found, 1)} ${at(ascending(found), 0.95).toFixed(1)}`;
    console.log(`  windows of ${horizonDays + 1} days: ${shown} (aim: under 10)`);
  }
};

againstC();
outlooks();
const bytes = heapGrowth(kernel) / KERNEL_DAYS;
console.log(
  `Heap: ${bytes.toFixed(0)} bytes a field-day, numbers that the engine boxes where it does not inline a call`,
);
