import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const root = fileURLToPath(new URL('../..', import.meta.url));
/** The program from its sources, in one process, so that a signal meets it and no wrapper. */
export const fromSource: readonly string[] = [
  process.execPath,
  '--import',
  import.meta.resolve('tsx'),
  fileURLToPath(new URL('../../src/main.ts', import.meta.url)),
];

/** A port of the loopback that was free a moment ago. */
export const freePort = async (): Promise<number> => {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
};

type Environment = Readonly<Record<string, string>>;
export type StartOptions = {
  /** sqlite:PATH or postgres://... */
  readonly store: string;
  readonly port?: number;
  readonly env?: Environment;
  /** The program and what stands before `serve`; without it, from source. */
  readonly command?: readonly string[];
  readonly cwd?: string;
  /** Another user, where the tests run as root. */
  readonly uid?: number;
  /** Lets the process talk to the test. */
  readonly ipc?: boolean;
};

/** A server in a process of its own. */
export type ServerProcess = {
  readonly address: string;
  readonly process: ChildProcess;
  /** Everything that it wrote so far. */
  readonly log: () => string;
  /** Sends a signal and gives the exit code, or the signal that ended it. */
  readonly stop: (signal?: NodeJS.Signals) => Promise<number | string>;
};

const quiet = (env: Environment): NodeJS.ProcessEnv => ({
  ...Object.fromEntries(Object.entries(process.env).filter(([name]) => !name.startsWith('WHITETHREAD_'))),
  ...env,
});

const untilReady = async (child: ChildProcess, address: string, log: () => string): Promise<void> => {
  const giveUp = Date.now() + 60_000;
  while (Date.now() < giveUp) {
    if (child.exitCode !== null) throw new Error(`the server ended with ${child.exitCode}:\n${log()}`);
    const reply = await fetch(`${address}/ready`).catch(() => null);
    await reply?.arrayBuffer();
    if (reply?.status === 200) return;
    await pause(50);
  }
  child.kill('SIGKILL');
  throw new Error(`not ready in a minute:\n${log()}`);
};

/** Starts `serve` on the loopback and resolves when it is ready. */
export const startServer = async (options: StartOptions): Promise<ServerProcess> => {
  const { store, port = await freePort(), env = {}, command = fromSource, cwd = root } = options;
  const [program = '', ...before] = command;
  const child = spawn(program, [...before, 'serve', '--host', '127.0.0.1', '--port', String(port), '--store', store], {
    cwd,
    env: quiet({ WHITETHREAD_LOG_LEVEL: 'warn', WHITETHREAD_RATE_PER_MINUTE: '1000000', ...env }),
    stdio: ['ignore', 'pipe', 'pipe', ...(options.ipc === true ? ['ipc' as const] : [])],
    ...(options.uid === undefined ? {} : { uid: options.uid, gid: options.uid }),
  });
  const texts: string[] = [];
  for (const stream of [child.stdout, child.stderr])
    stream?.on('data', (part: Buffer) => {
      texts.push(part.toString());
    });
  const log = () => texts.join('');
  const ended = once(child, 'exit') as Promise<[number | null, string | null]>;
  const address = `http://127.0.0.1:${port}`;
  await untilReady(child, address, log);
  return {
    address,
    process: child,
    log,
    stop: async (signal = 'SIGTERM') => {
      child.kill(signal);
      const [code, by] = await ended;
      return code ?? by ?? '';
    },
  };
};

/** Runs a command of the program to its end and gives what it printed. Rejects with its output where it fails. */
export const ran = async (
  args: readonly string[],
  { env = {}, command = fromSource, cwd = root, uid }: Omit<Partial<StartOptions>, 'store'> = {},
): Promise<string> => {
  const [program = '', ...before] = command;
  const { stdout, stderr } = await promisify(execFile)(program, [...before, ...args], {
    cwd,
    env: quiet(env),
    ...(uid === undefined ? {} : { uid, gid: uid }),
  });
  return stdout + stderr;
};

/** Makes an operator key straight in the database and gives it. */
export const operatorKey = async (store: string, how: Parameters<typeof ran>[1] = {}): Promise<string> => {
  const text = await ran(['key', '--role', 'operator', '--store', store], how);
  const [key] = /wt_[\w-]+/.exec(text) ?? [];
  if (key === undefined) throw new Error(`no key in: ${text}`);
  return key;
};
