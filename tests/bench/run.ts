import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { benchField, speciesOf } from './field.ts';
import { cKernel, KERNEL_DAYS, kernelRun, kernelSums } from './kernel.ts';

/** Times of repeated runs in ms, fastest first, after warming up. */
const times = (what: () => unknown, warm: number, runs: number): number[] => {
  for (let i = 0; i < warm; i++) what();
  const found = Array.from({ length: runs }, () => {
    const start = performance.now();
    what();
    return performance.now() - start;
  });
  return found.sort((a, b) => a - b);
};

const middle = (sorted: readonly number[]): number => sorted[Math.floor(sorted.length / 2)] as number;
const at = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] as number;

const catalogue = loadCatalogue();
const species = speciesOf(catalogue);

const ours = times(() => kernelRun(species), 3, 15);
const nsPerDay = (ms: number): number => (ms * 1e6) / KERNEL_DAYS;
console.log(
  `soil and 12 species, ${KERNEL_DAYS} days: fastest ${nsPerDay(ours[0] as number).toFixed(0)}, middle ${nsPerDay(middle(ours)).toFixed(0)} ns a field-day`,
);

const c = cKernel(species);
if (c === null) console.log('No C compiler here: the ratio to C is left out.');
else {
  const theirs = c.run(15);
  c.end();
  const sums = kernelSums(kernelRun(species));
  const differing = [...theirs.sums].filter(([name, value]) => {
    const own = sums.get(name);
    return own === undefined || Math.abs(own - value) > 1e-6 * Math.max(1, Math.abs(value));
  });
  const { fastestNs: fastest, middleNs: usual } = theirs;
  console.log(`the same in C: fastest ${fastest.toFixed(0)}, middle ${usual.toFixed(0)} ns a field-day`);
  console.log(
    `ratio to C: fastest ${(nsPerDay(ours[0] as number) / fastest).toFixed(2)}, middle ${(nsPerDay(middle(ours)) / usual).toFixed(2)} (aim 2 or less)`,
  );
  if (differing.length > 0) {
    console.log(
      `sums differ from C: ${differing.map(([name, value]) => `${name} ${sums.get(name)} against ${value}`).join('; ')}`,
    );
    process.exitCode = 1;
  } else console.log(`${theirs.sums.size} sums equal to C within 1e-6`);
}

for (const [today, horizonDays] of [
  [135, 14],
  [0, 364],
] as const) {
  const field = benchField(today, horizonDays);
  const found = times(() => outlook(field, catalogue), 40, 60);
  console.log(
    `outlook of 365 days, 12 species, 3 implements, windows for ${horizonDays + 1} days: middle ${middle(found).toFixed(1)}, 95 % ${at(found, 0.95).toFixed(1)} ms (aim under 10)`,
  );
}
