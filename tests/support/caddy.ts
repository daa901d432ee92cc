import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { freePort } from './serverProcess.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Whether the proxy of docker/ is on this machine. */
export const hasCaddy = (): boolean => spawnSync('caddy', ['version']).error === undefined;

export type Caddy = { readonly address: string; readonly stop: () => Promise<void> };

/** Runs docker/Caddyfile as it stands before replicas on the loopback, without certificates. */
export const startCaddy = async (replicas: readonly string[], home: string): Promise<Caddy> => {
  const address = `http://127.0.0.1:${await freePort()}`;
  const child = spawn('caddy', ['run', '--config', 'docker/Caddyfile', '--adapter', 'caddyfile'], {
    cwd: root,
    stdio: 'ignore',
    env: {
      PATH: process.env.PATH,
      HOME: home,
      WHITETHREAD_SITE: address,
      WHITETHREAD_REPLICAS: replicas.map((replica) => new URL(replica).host).join(' '),
      WHITETHREAD_PROXY_HEALTH_PORT: String(await freePort()),
    },
  });
  const ended = once(child, 'exit');
  const isUp = async (): Promise<boolean> => (await fetch(`${address}/health`).catch(() => null))?.status === 200;
  for (let turn = 0; turn < 200 && !(await isUp()); turn++) await new Promise((resolve) => setTimeout(resolve, 50));
  return {
    address,
    stop: async () => {
      child.kill();
      await ended;
    },
  };
};
