import { execFile, spawnSync } from 'node:child_process';
import { constants } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { scratchFolder } from '../../support/folder.ts';
import type { Trial } from './faultWriter.ts';
import { plainJs } from './plainJs.ts';
import { stateOf } from './state.ts';

const { EIO, ENOSPC } = constants.errno;
const here = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
const folder = scratchFolder();
const library = join(folder, 'fault.so');
const compiled = spawnSync('cc', ['-shared', '-fPIC', '-O1', '-o', library, here('fault.c'), '-ldl']);
const isHere = process.platform === 'linux' && compiled.status === 0;
if (!isHere) console.log('Disks that fail at the N-th write left out: no C compiler, or not Linux');

const trialsOf = async (path: string, errno: number, most: number, size: number): Promise<Trial[]> => {
  const args = [script, path, errno, most, size].map(String);
  const env = { ...process.env, LD_PRELOAD: library };
  const { stdout } = await promisify(execFile)(process.execPath, args, { env, maxBuffer: 2 ** 24 });
  return JSON.parse(stdout) as Trial[];
};
const script = plainJs(here('faultWriter.ts'), folder);

const cases = [
  { name: 'EIO', errno: EIO, code: 'store-unavailable', row: 'a small row', most: 20, size: 100, failing: 4 },
  {
    name: 'EIO',
    errno: EIO,
    code: 'store-unavailable',
    row: 'a row of 600 kB',
    most: 200,
    size: 600_000,
    failing: 200,
  },
  { name: 'ENOSPC', errno: ENOSPC, code: 'store-full', row: 'a small row', most: 20, size: 100, failing: 4 },
  { name: 'ENOSPC', errno: ENOSPC, code: 'store-full', row: 'a row of 600 kB', most: 200, size: 600_000, failing: 200 },
];

test.runIf(isHere).each(cases)(
  '$name from the N-th write of $row, N from 1 to $most: refused whole, reads go on, it recovers without a restart',
  async ({ name, errno, code, most, size, failing }) => {
    const path = join(folder, `${name}-${size}.db`);
    const trials = await trialsOf(path, errno, most, size);
    expect(trials).toHaveLength(most);
    const failed = trials.filter((trial) => trial.code !== 'none');
    expect(failed.length).toBeGreaterThanOrEqual(failing);
    // A disk that is full may show first where SQLite can only say that writing failed.
    expect(failed.filter((trial) => ![code, 'store-unavailable'].includes(trial.code))).toEqual([]);
    expect(failed.filter((trial) => trial.code === code).length).toBeGreaterThan(0);
    expect(failed.filter(({ kept }) => kept.some(Boolean))).toEqual([]);
    expect(trials.filter(({ recovered, reads }) => !recovered || !reads)).toEqual([]);
    const { integrity, parts, counts } = stateOf(path);
    expect([integrity, parts]).toEqual(['ok', 0]);
    expect(counts).toMatchObject({ records: most + 1, history: most + 1, replays: most + 1 });
  },
);
