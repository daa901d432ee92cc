import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Minutes each, the longest first: begun last, one of them would run on while the other cores have nothing left to do. */
const long = ['walks/generated', 'fieldSeasons', 'store/kill', 'store/upgrade'];
const rank = ({ moduleId }: TestSpecification): number => {
  const found = long.findIndex((name) => moduleId.endsWith(`${name}.test.ts`));
  return found === -1 ? long.length : found;
};

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return (await super.sort(files)).toSorted((a, b) => rank(a) - rank(b));
  }
}

/** What computes and nothing else: such files may share what they load, which takes longer than they do. */
const pure = ['core', 'published', 'catalogue', 'report'].map((folder) => `tests/${folder}/**/*.test.ts`);

export default defineConfig({
  test: {
    projects: [
      { test: { name: 'pure', testTimeout: 60_000, include: pure, isolate: false } },
      {
        test: {
          name: 'unit',
          testTimeout: 60_000,
          include: ['tests/**/*.test.ts'],
          exclude: [...pure, 'tests/evidence/**', 'tests/long/**'],
        },
      },
      { test: { name: 'evidence', include: ['tests/evidence/**/*.test.ts'], testTimeout: 120_000 } },
      {
        test: {
          name: 'long',
          include: ['tests/long/**/*.test.ts'],
          exclude: ['tests/long/http/**', 'tests/long/docker/**'],
          testTimeout: 600_000,
        },
      },
      // Compiles and installs as an image does: in CI beside the soak.
      { test: { name: 'image', include: ['tests/long/docker/**/*.test.ts'], testTimeout: 600_000 } },
      // Servers under load, one suite at a time: --no-file-parallelism.
      { test: { name: 'http', include: ['tests/long/http/**/*.test.ts'], testTimeout: 600_000 } },
    ],
    // Every core: by itself the runner leaves one of two idle.
    maxWorkers: '100%',
    sequence: { sequencer: LongestFirst },
    coverage: { include: ['src/**/*.ts'], reporter: ['text-summary', 'json-summary'] },
  },
});
