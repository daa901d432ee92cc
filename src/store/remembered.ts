import type { Key, Row, Store } from './contract.ts';

/** Rows of more text than this together are not kept: about 64 MB at two bytes a character. */
const CHARACTERS = 32 * 1024 * 1024;
/** What an entry weighs besides its text, in characters. */
const OVERHEAD = 256;

/**
 * Counts what was written: by this process, which says so, and by others, which `dataVersion` tells. The database is
 * asked once in a turn of the event loop: what a turn serves was sent before the turn began.
 */
const counter = (dataVersion: () => number): { readonly now: () => number; readonly wrote: () => void } => {
  let seen = dataVersion();
  let generation = 0;
  let isAsked = false;
  return {
    now: () => {
      if (isAsked) return generation;
      const version = dataVersion();
      if (version !== seen) generation += 1;
      seen = version;
      isAsked = true;
      setImmediate(() => {
        isAsked = false;
      });
      return generation;
    },
    wrote: () => {
      generation += 1;
    },
  };
};

/** Things read before, as long as nothing was written since. */
const memory = <T>(generation: () => number, characters: number, size: (found: T) => number) => {
  const held = new Map<string, T>();
  let room = characters;
  let heldSince = 0;
  const forget = (): void => {
    held.clear();
    room = characters;
  };
  return async (name: string, ask: () => Promise<T | null>): Promise<T | null> => {
    const since = generation();
    if (since !== heldSince) forget();
    heldSince = since;
    const known = held.get(name);
    if (known !== undefined) return known;
    const found = await ask();
    // Things may have changed while the read was under way.
    if (found === null || since !== generation()) return found;
    const taken = size(found) + name.length + OVERHEAD;
    if (taken > characters) return found;
    if (taken > room) forget();
    room -= taken;
    held.set(name, found);
    return found;
  };
};

/**
 * A store that answers a repeated `read` or `key` without asking the database.
 * @param dataVersion a number that changes when anyone else has written
 * @param characters text of rows to keep at most
 */
export const remembered = (store: Store, dataVersion: () => number, characters = CHARACTERS): Store => {
  const { now, wrote } = counter(dataVersion);
  const rows = memory<Row>(now, characters, ({ text }) => text.length);
  const keys = memory<Key>(now, characters, ({ label }) => label.length);
  const forgetting =
    <A extends readonly unknown[], T>(write: (...given: A) => Promise<T>) =>
    (...given: A): Promise<T> =>
      write(...given).finally(wrote);
  return {
    ...store,
    generation: now,
    read: (farmId, kind, id) =>
      // The lengths keep apart what could run together.
      rows(`${farmId.length} ${kind.length} ${farmId}${kind}${id}`, () => store.read(farmId, kind, id)),
    key: (id) => keys(id, () => store.key(id)),
    create: forgetting(store.create),
    change: forgetting(store.change),
    remove: forgetting(store.remove),
    addKey: forgetting(store.addKey),
    revokeKey: forgetting(store.revokeKey),
  };
};
