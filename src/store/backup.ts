import { access, constants, open, realpath, rename, rm, stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { Kysely } from 'kysely';
import { whitethreadError } from '../core/base/errors.ts';
import { storeError, storeRefusal } from './errors.ts';
import { formOf } from './migrations.ts';
import { openNative } from './native.ts';
import { sqliteDialect } from './sqliteDialect.ts';
import type { Tables } from './tables.ts';

/** Makes what stands in a file or a folder's list of names outlast a power cut. */
const synced = async (path: string): Promise<void> => {
  const handle = await open(path, 'r');
  await handle.sync().finally(() => handle.close());
};

/** Copies what the database is at one instant, in the form that it has: others write on, and none of it gets in. */
const copy = async (from: string, to: string): Promise<void> => {
  // Not read-only: who reads as the last one and may not write leaves a log behind.
  const source = await openNative(from, { fileMustExist: true });
  try {
    source.exec('begin');
    const form = await formOf(new Kysely<Tables>({ dialect: sqliteDialect(source) }));
    if (form === null) throw storeRefusal('store-version', 'database', 'no tables', 'a database of this program');
    await source.backup(to);
  } finally {
    source.close();
  }
};

const checked = async (path: string): Promise<void> => {
  const native = await openNative(path);
  try {
    // One file, without a log beside it.
    native.pragma('journal_mode = delete');
    const found = native.pragma('integrity_check', { simple: true });
    if (found !== 'ok') throw storeRefusal('store-unavailable', 'backup', String(found), 'a copy that is whole');
  } finally {
    native.close();
  }
};

const identity = async (path: string): Promise<string | null> => {
  const found = await stat(path).catch(() => null);
  return found === null ? null : `${found.dev}:${found.ino}`;
};

/**
 * What another program left beside an earlier copy, or still writes, would be taken for the new one's, which it would spoil.
 * It may hold what was written into the earlier copy, so that it is not ours to take away.
 */
const assertNothingBeside = async (to: string): Promise<void> => {
  for (const beside of [`${to}-wal`, `${to}-journal`]) {
    if ((await identity(beside)) === null) continue;
    const allowed = 'a file without a log beside it';
    const advice = `Name another file; or stop what has ${to} open, and take it away with every ${to}-* beside it`;
    throw whitethreadError([{ code: 'invalid-input', where: 'backup', given: `${beside} is there`, allowed, advice }]);
  }
};

/** Where the copy goes: a link is followed, as it may lead to another machine. */
const targetOf = async (to: string): Promise<string> => {
  const wrong = (given: string, allowed: string) =>
    whitethreadError([{ code: 'invalid-input', where: 'backup', given, allowed }]);
  const path = await realpath(to).catch(() => to);
  if ((await stat(path).catch(() => null))?.isDirectory()) throw wrong(`${to} is a folder`, 'the name of a file');
  const folder = dirname(path);
  if (!(await stat(folder).catch(() => null))?.isDirectory())
    throw wrong(`${folder} is no folder`, 'a file in a folder that is there');
  await access(folder, constants.W_OK | constants.X_OK).catch(() => {
    throw wrong(`${folder} may not be written`, 'a file in a folder that this user may write');
  });
  return path;
};

/**
 * Writes a copy of a database that may be in use, whose form it does not change. It has its name only when it is whole and
 * checked.
 * @throws WhitethreadError 'invalid-input' where the copy would replace the database or come under another's log, or cannot
 * be written there,
 * 'store-full', 'store-read-only', 'store-unavailable', 'store-version' as `formOf`, and where the database is empty
 */
export const backup = async (from: string, name: string): Promise<void> => {
  const to = await targetOf(name);
  const target = await identity(to);
  if (target !== null && target === (await identity(from)))
    throw storeRefusal('invalid-input', 'backup', to, 'a file other than the database itself');
  await assertNothingBeside(to);
  const unfinished = `${to}.${process.pid}.unfinished`;
  try {
    await copy(from, unfinished);
    await checked(unfinished);
    await synced(unfinished);
    await rename(unfinished, to);
    await synced(dirname(to));
  } catch (thrown) {
    await rm(unfinished, { force: true });
    throw storeError(thrown);
  }
};
