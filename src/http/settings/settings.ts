import { isWhitethreadError, whitethreadError } from '../../core/base/errors.ts';
import { nameless } from '../../core/base/nameless.ts';
import { parsed } from '../../core/base/schema.ts';
import { type Settings, settings } from './schema.ts';

const PREFIX = 'WHITETHREAD_';

/** Options of a command that stand for a variable. */
export type Flags = { readonly host?: string; readonly port?: string; readonly store?: string };

/** A setting as it was said: `--port` where the option was given, else `WHITETHREAD_PORT`. */
const saidAs = (where: string, flags: Flags): string => {
  const flag = where.toLowerCase();
  return flag in flags ? `--${flag}` : PREFIX + where;
};

/** What was set and changes nothing: a slip of the pen must not pass for a limit that holds. */
export const idleSettings = (env: Readonly<Record<string, string | undefined>>): string[] => {
  const names = Object.keys(settings.shape).map((name) => PREFIX + name);
  const unknown = Object.keys(env).filter((name) => name.startsWith(PREFIX) && !names.includes(name));
  return [
    ...unknown.map((name) => `${name} is no setting of this server and changes nothing; there are ${names.join(', ')}`),
    ...(env[`${PREFIX}SOURCES`] && !env[`${PREFIX}CONTACT`]
      ? [`${PREFIX}SOURCES changes nothing without ${PREFIX}CONTACT: no weather service is asked`]
      : []),
  ];
};

/**
 * Settings from the environment; what the command line says goes first.
 * @throws WhitethreadError 'invalid-input' that names every variable and option that is wrong, and shows no password
 */
export const settingsOf = (env: Readonly<Record<string, string | undefined>>, flags: Flags = {}): Settings => {
  const given = Object.entries(env).flatMap(([name, value]) =>
    name.startsWith(PREFIX) && value !== undefined && value !== '' ? [[name.slice(PREFIX.length), value]] : [],
  );
  const said = Object.entries(flags).map(([name, value]) => [name.toUpperCase(), value]);
  const values: Readonly<Record<string, string>> = Object.fromEntries([...given, ...said]);
  try {
    return parsed(settings, values, '');
  } catch (error) {
    if (!isWhitethreadError(error)) throw error;
    // All of it, since a password that is cut short could not be told from the rest.
    const shown = (name: string): string => JSON.stringify(nameless(values[name] ?? ''));
    const told = error.problems.map((it) => ({ ...it, where: saidAs(it.where, flags), given: shown(it.where) }));
    throw whitethreadError(told);
  }
};
