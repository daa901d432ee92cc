import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { benchField, speciesOf } from './field.ts';
import { heapBytes } from './heap.ts';
import { cKernel, kernelInput, kernelRun, kernelSums, type Sums } from './kernel.ts';

/** C and TypeScript take turns, so that a slow moment of the machine slows both; the ratio is that of a turn. */
const TURNS = 5;
/** A field is simulated for a year or two; so the time is that of a year, repeated, and not of columns larger than a cache. */
const YEAR = 365;
const YEARS = 240;
/** The columns are compared over thirty years. */
const THIRTY_YEARS = 10_957;

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

/** Sums that are not equal to 1e-6 of their size, each as a line. */
const differences = (ours: Sums, theirs: Sums): string[] =>
  [...theirs]
    .filter(
      ([name, value]) => !(Math.abs((ours.get(name) ?? Number.NaN) - value) <= 1e-6 * Math.max(1, Math.abs(value))),
    )
    .map(([name, value]) => `${name}: ${ours.get(name)} here, ${value} in C`);

const catalogue = loadCatalogue();
const species = speciesOf(catalogue);
/** One turn of either program. */
type Turn = { readonly fastestNs: number; readonly middleNs: number };
const fastest = (turns: readonly Turn[]): number => at(ascending(turns.map(({ fastestNs }) => fastestNs)), 0);
const middle = (turns: readonly Turn[]): number => at(ascending(turns.map(({ middleNs }) => middleNs)), 0.5);

const input = kernelInput(YEAR);
const kernel = (): unknown => kernelRun(input, species);

/** Whether thirty years give the same columns in C. */
const compare = (): void => {
  const long = kernelInput(THIRTY_YEARS);
  const c = cKernel(long, species);
  if (c === null) return;
  const theirs = c.run(1).sums;
  c.end();
  const wrong = differences(kernelSums(kernelRun(long, species)), theirs);
  if (wrong.length > 0) {
    console.log(`Columns that differ from the C program:\n${wrong.join('\n')}`);
    process.exitCode = 1;
  } else console.log(`  over 30 years all ${theirs.size} columns add up to the same as in C, within 1e-6`);
};

const againstC = (): void => {
  times(kernel, YEARS);
  const c = cKernel(input, species);
  const ours: Turn[] = [];
  const inC: Turn[] = [];
  for (let turn = 0; turn < TURNS; turn++) {
    const found = ascending(times(kernel, YEARS).map((ms) => (ms * 1e6) / YEAR));
    ours.push({ fastestNs: at(found, 0), middleNs: at(found, 0.5) });
    if (c !== null) inC.push(c.run(YEARS));
  }
  c?.end();
  console.log(`Soil and 12 species, a year at a time, ns a field-day, fastest and middle:`);
  console.log(`  here ${fastest(ours).toFixed(0)} ${middle(ours).toFixed(0)}`);
  if (inC.length === 0) {
    console.log('  no C compiler (cc, gcc, clang) found: the ratio is left out');
    return;
  }
  const ratios = ours.map(({ middleNs }, turn) => middleNs / (inC[turn]?.middleNs ?? Number.NaN));
  console.log(`  in C ${fastest(inC).toFixed(0)} ${middle(inC).toFixed(0)}`);
  console.log(
    `  ratio ${(fastest(ours) / fastest(inC)).toFixed(2)} ${at(ascending(ratios), 0.5).toFixed(2)} (aim: at most 2)`,
  );
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

const sum = (bytes: ReadonlyMap<string, number>): number => [...bytes.values()].reduce((a, b) => a + b, 0);

/** Eight years make as many columns as one: what they take more, they take for their days. */
const heap = async (): Promise<void> => {
  const long = kernelInput(8 * YEAR);
  const longRun = (): unknown => kernelRun(long, species);
  times(kernel, YEARS);
  times(longRun, YEARS);
  const ofYear = await heapBytes(kernel, 300);
  const ofEight = await heapBytes(longRun, 80);
  const perDay = new Map([...ofEight].map(([file, bytes]) => [file, (bytes - (ofYear.get(file) ?? 0)) / (7 * YEAR)]));
  const most = [...perDay].sort(([, a], [, b]) => b - a).slice(0, 3);
  console.log(`Heap of a run, bytes: ${sum(ofYear).toFixed(0)} for the columns and tables of a year,`);
  console.log(
    `  ${sum(perDay).toFixed(1)} more for each further day (aim: 0 but in season.ts, where a year turns; a boxed number is 16),`,
  );
  console.log(`  most in ${most.map(([file, bytes]) => `${file} ${bytes.toFixed(1)}`).join(', ')}`);
};

await heap();
againstC();
compare();
outlooks();
