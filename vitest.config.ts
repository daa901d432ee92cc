import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          testTimeout: 60_000,
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/evidence/**', 'tests/long/**'],
        },
      },
      { test: { name: 'evidence', include: ['tests/evidence/**/*.test.ts'], testTimeout: 120_000 } },
      {
        test: {
          name: 'long',
          include: ['tests/long/**/*.test.ts'],
          exclude: ['tests/long/http/**'],
          testTimeout: 600_000,
        },
      },
      // Servers under load, one suite at a time: --no-file-parallelism.
      { test: { name: 'http', include: ['tests/long/http/**/*.test.ts'], testTimeout: 600_000 } },
    ],
    // Every core: by itself the runner leaves one of two idle.
    maxWorkers: '100%',
    coverage: { include: ['src/**/*.ts'], reporter: ['text-summary', 'json-summary'] },
  },
});
