import { Command, CommanderError } from 'commander';
import { whitethreadError } from '../core/base/errors.ts';
import { nameless } from '../core/base/nameless.ts';
import { civilDate } from '../core/base/quantity.ts';
import { parsed } from '../core/base/schema.ts';
import { freshKey } from '../service/keys.ts';
import { readFarmRow } from '../service/records.ts';
import { backup } from '../store/backup.ts';
import { type Role, roles } from '../store/contract.ts';
import { fileOf, missingFile, openStore, STORE_ADDRESS } from '../store/open.ts';
import { keyRequest } from './schema.ts';
import { startServer } from './server.ts';
import { type Flags, idleSettings, settingsOf } from './settings/settings.ts';

export type ServerIo = {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Resolves when the process is told to stop. */
  readonly stopped: () => Promise<void>;
};

const STORE = `${STORE_ADDRESS} (default: WHITETHREAD_STORE, or sqlite:whitethread.db)`;

const serve = async (flags: Flags, { err, env, stopped }: ServerIo): Promise<void> => {
  const settings = settingsOf(env, flags);
  for (const text of idleSettings(env)) err(text);
  const { address, demo, hasKey, close } = await startServer(settings);
  err(`Whitethread listens on ${address}; its documentation is at ${address}/docs`);
  if (demo !== null) err(`The database was empty: it now holds the demo farm ${demo}, fields and weather made up.`);
  if (!hasKey) {
    const { store: said } = flags;
    const store = said === undefined ? '' : ` --store ${fileOf(said) === null ? nameless(said) : said}`;
    err(`There is no valid operator key yet. Make one: whitethread key --role operator${store}`);
  }
  await stopped();
  await close();
};

type KeyFlags = Flags & {
  readonly role: string;
  readonly farm?: string;
  readonly label: string;
  readonly expires?: string;
};

const NAMES = { label: '--label', expiresAt: '--expires' };

const wrong = (where: string, given: string, allowed: string) =>
  whitethreadError([{ code: 'invalid-input', where, given, allowed }]);

const wishOf = ({ role, farm, label, expires }: KeyFlags) => {
  if (!(roles as readonly string[]).includes(role)) throw wrong('--role', role, roles.join(', '));
  if ((role === 'operator') !== (farm === undefined))
    throw wrong(
      '--farm',
      farm ?? 'nothing',
      role === 'operator' ? 'nothing: an operator is of no farm' : 'the id of a farm',
    );
  return {
    farmId: farm ?? null,
    role: role as Role,
    label: parsed(keyRequest.shape.label, label, '--label'),
    expiresAtMs: expires === undefined ? null : Date.parse(parsed(civilDate(), expires, '--expires')),
  };
};

const storeOf = (env: ServerIo['env'], { store }: Flags): string =>
  settingsOf(env, store === undefined ? {} : { store }).STORE;

/** Of a database that is made on the way nothing could be told, and an empty one would go over the last good copy. */
const assertThere = async (url: string): Promise<void> => {
  const missing = await missingFile(url);
  if (missing !== null) throw wrong('--store', missing, 'the file of a database that is there');
};

const makeKey = async (flags: KeyFlags, { out, err, env }: ServerIo): Promise<void> => {
  const wish = wishOf(flags);
  const url = storeOf(env, flags);
  if (wish.farmId !== null) await assertThere(url);
  const made = await missingFile(url);
  const store = await openStore(url);
  try {
    // The first key may come before the first start; a slip in the path looks the same.
    if (made !== null) err(`There was no database ${made}: this made a new one, and the key opens nothing elsewhere.`);
    if (wish.farmId !== null) await readFarmRow({ store }, wish.farmId);
    const { key, text } = await freshKey({ store, nowMs: Date.now }, wish, NAMES);
    err(`Key ${key.id}, ${key.role}. It is shown this once: the database holds a hash of it.`);
    out(text);
  } finally {
    await store.close();
  }
};

const makeBackup = async (flags: Flags & { readonly to: string }, { err, env }: ServerIo): Promise<void> => {
  const url = storeOf(env, flags);
  await assertThere(url);
  const file = fileOf(url);
  if (file === null) throw wrong('--store', 'postgres', 'an embedded database; for PostgreSQL use pg_dump');
  await backup(file, flags.to);
  err(`Copied whole to ${flags.to}`);
};

const program = (io: ServerIo): Command => {
  const root = new Command('whitethread');
  root
    .command('serve')
    .description('The HTTP service. Every setting is an environment variable WHITETHREAD_*; see docs/operations.md.')
    .option('--host <address>', 'address to listen on (default: 127.0.0.1)')
    .option('--port <number>', 'port (default: 8017)')
    .option('--store <address>', STORE)
    .action((flags) => serve(flags, io));
  root
    .command('key')
    .description('Makes an API key, straight in the database, and shows it once.')
    .requiredOption('--role <role>', roles.join(', '))
    .option('--farm <id>', 'farm that the key is for; none for an operator')
    .option('--label <text>', 'whose key it is', 'made on the command line')
    .option('--expires <date>', 'day YYYY-MM-DD, in UTC, from which it opens nothing')
    .option('--store <address>', STORE)
    .action((flags) => makeKey(flags, io));
  root
    .command('backup')
    .description('Copies the embedded database, whole, while the service runs.')
    .requiredOption('--to <file>', 'file to write')
    .option('--store <address>', STORE)
    .action((flags) => makeBackup(flags, io));
  for (const command of [root, ...root.commands])
    command
      .exitOverride()
      .showHelpAfterError('Add --help for what is allowed.')
      .configureOutput({ writeOut: (text) => io.out(text.trimEnd()), writeErr: (text) => io.err(text.trimEnd()) });
  return root;
};

/**
 * Runs one of the server's commands: serve, key, backup.
 * @returns exit code: 0 done, 2 wrong use
 * @throws WhitethreadError where the input is wrong
 */
export const runServerCommand = async (args: readonly string[], io: ServerIo): Promise<number> => {
  try {
    await program(io).parseAsync([...args], { from: 'user' });
    return 0;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    throw error;
  }
};
