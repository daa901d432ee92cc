import type { Key, Row, Store } from './contract.ts';

/** Rows of more text than this together are not kept: about 64 MB at two bytes a character. */
const CHARACTERS = 32 * 1024 * 1024;
/** What an entry weighs besides its text, in characters. */
const OVERHEAD = 256;

/**
 * Things read before, as long as nothing was written: neither by this process, which calls `forget`, nor by another
 * one, which `dataVersion` tells. Both are looked at on every read, so nothing old is ever given.
 */
const memory = <T>(dataVersion: () => number, characters: number, size: (found: T) => number) => {
  const held = new Map<string, T>();
  let room = characters;
  let seen = dataVersion();
  /** Tells a read that was under way while things changed. */
  let generation = 0;
  const forget = (): void => {
    held.clear();
    room = characters;
    generation += 1;
  };
  const recall = async (name: string, ask: () => Promise<T | null>): Promise<T | null> => {
    const now = dataVersion();
    if (now !== seen) {
      seen = now;
      forget();
    }
    const known = held.get(name);
    if (known !== undefined) return known;
    const since = generation;
    const found = await ask();
    if (found === null || since !== generation) return found;
    const taken = size(found) + name.length + OVERHEAD;
    if (taken > characters) return found;
    if (taken > room) forget();
    room -= taken;
    held.set(name, found);
    return found;
  };
  return { recall, forget };
};

/**
 * A store that answers a repeated `read` or `key` without asking the database.
 * @param dataVersion a number that changes when anyone else has written
 * @param characters text of rows to keep at most
 */
export const remembered = (store: Store, dataVersion: () => number, characters = CHARACTERS): Store => {
  const rows = memory<Row>(dataVersion, characters, ({ text }) => text.length);
  const keys = memory<Key>(dataVersion, characters, ({ label }) => label.length);
  const forgetting =
    <A extends readonly unknown[], T>(write: (...given: A) => Promise<T>) =>
    (...given: A): Promise<T> =>
      write(...given).finally(() => {
        rows.forget();
        keys.forget();
      });
  return {
    ...store,
    read: (farmId, kind, id) =>
      // The lengths keep apart what could run together.
      rows.recall(`${farmId.length} ${kind.length} ${farmId}${kind}${id}`, () => store.read(farmId, kind, id)),
    key: (id) => keys.recall(id, () => store.key(id)),
    create: forgetting(store.create),
    change: forgetting(store.change),
    remove: forgetting(store.remove),
    addKey: forgetting(store.addKey),
    revokeKey: forgetting(store.revokeKey),
  };
};
