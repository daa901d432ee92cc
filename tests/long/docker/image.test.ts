import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, chownSync, cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { root } from '../../rules/tree.ts';
import { caller, good } from '../../support/api.ts';
import { stages } from '../../support/dockerfile.ts';
import { contextPaths } from '../../support/images.ts';
import { freePort, operatorKey, ran, type ServerProcess, startServer } from '../../support/serverProcess.ts';
import { builtStage, entrypoint, healthCommand } from './image.ts';

/** Any user but root, as in the image; a developer is one already. */
const nobody = process.getuid?.() === 0 ? { uid: 65_534 } : {};

describe('the commands of docker/Dockerfile, run without a container engine', () => {
  const text = readFileSync(join(root, 'docker/Dockerfile'), 'utf8');
  const all = stages(text);
  const final = all.at(-1);
  if (final === undefined) throw new Error('a Dockerfile without a stage');
  const { workdir, command, env } = entrypoint(final);
  let home = '';
  let app = '';
  let store = '';
  let server: ServerProcess;
  const how = () => ({ command, cwd: app, ...nobody });

  beforeAll(async () => {
    home = mkdtempSync(join(tmpdir(), 'image-'));
    chmodSync(home, 0o755);
    const context = join(home, 'context');
    for (const path of new Set(contextPaths(text))) cpSync(join(root, path), join(context, path), { recursive: true });
    const built = new Map<string, string>();
    for (const stage of all) {
      built.set(stage.name, join(home, stage.name));
      builtStage(stage, join(home, stage.name), built, context);
    }
    app = join(home, final.name, workdir);
    execFileSync('chmod', ['-R', 'a-w,a+rX', join(home, final.name)]);
    const data = join(home, 'data');
    mkdirSync(data);
    if (nobody.uid !== undefined) chownSync(data, nobody.uid, nobody.uid);
    store = `sqlite:${join(data, 'whitethread.db')}`;
    server = await startServer({ store, ...how(), env: { NODE_ENV: 'production' } });
  }, 600_000);

  afterAll(() => {
    server?.process.kill('SIGKILL');
    execFileSync('chmod', ['-R', 'u+w', home]);
    rmSync(home, { recursive: true, force: true });
  }, 120_000);

  test('no package of developers and no source is in it, and it takes less than 100 MB', () => {
    for (const path of ['node_modules/typescript', 'node_modules/vitest', 'node_modules/tsx', 'src', 'tests'])
      expect(existsSync(join(app, path)), path).toBe(false);
    const kilobytes = Number(execFileSync('du', ['-sk', app], { encoding: 'utf8' }).split('\t')[0]);
    console.log(`program and packages of the image: ${(kilobytes / 1024).toFixed(0)} MB`);
    expect(kilobytes / 1024).toBeLessThan(100);
  });

  test('answers /health, also when its own health check asks', async () => {
    expect((await fetch(`${server.address}/health`)).status).toBe(200);
    const [program = '', ...rest] = healthCommand(final);
    const asked = (port: string) =>
      spawnSync(program, rest, { env: { ...process.env, ...env, WHITETHREAD_PORT: port } }).status;
    expect(asked(new URL(server.address).port)).toBe(0);
    expect(asked(String(await freePort()))).toBe(1);
  });

  test('answers tomorrow of the demo farm, as another user than root and without a right to write to its own files', async () => {
    const call = caller(server.address, await operatorKey(store, how()));
    const { items } = good<{ items: { id: string }[] }>(await call('GET', '/v1/farms'));
    expect(items).toHaveLength(1);
    const tomorrow = good<{ fields: { name: string }[] }>(await call('GET', `/v1/farms/${items[0]?.id}/tomorrow`));
    expect(tomorrow.fields.map(({ name }) => name)).toContain('Gate Field');
  });

  test('the command line shows tomorrow of the demo farm', async () => {
    const shown = await ran(['tomorrow'], how());
    expect(shown).toContain('Plumbline Hollow');
  });

  test('stops at SIGTERM with code 0', async () => {
    expect(await server.stop('SIGTERM')).toBe(0);
  });
});
