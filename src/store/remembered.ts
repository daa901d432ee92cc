import type { Store } from './contract.ts';

/** Rows of more text than this together are not kept: about 64 MB at two bytes a character. */
const CHARACTERS = 32 * 1024 * 1024;

type Held = { readonly id: string };

/**
 * Things read before, as long as nothing was written: neither by this process, which calls `forget`, nor by another
 * one, which `dataVersion` tells. Both are looked at on every read, so nothing old is ever given.
 */
const memory = (dataVersion: () => number, characters: number) => {
  const held = new Map<string, Held>();
  let room = characters;
  let seen = dataVersion();
  /** Tells a read that was under way while things changed. */
  let generation = 0;
  const forget = (): void => {
    held.clear();
    room = characters;
    generation += 1;
  };
  const recall = async <T extends Held>(
    name: string,
    size: (found: T) => number,
    ask: () => Promise<T | null>,
  ): Promise<T | null> => {
    const now = dataVersion();
    if (now !== seen) {
      seen = now;
      forget();
    }
    const known = held.get(name);
    if (known !== undefined) return known as T;
    const since = generation;
    const found = await ask();
    if (found === null || since !== generation) return found;
    const taken = size(found) + name.length;
    if (taken > room) forget();
    if (taken > room) return found;
    room -= taken;
    held.set(name, found);
    return found;
  };
  return { recall, forget };
};

/**
 * A store that answers a repeated `read` or `key` without asking the database.
 * @param dataVersion a number that changes when anyone else has written
 * @param characters text to keep at most
 */
export const remembered = (store: Store, dataVersion: () => number, characters = CHARACTERS): Store => {
  const { recall, forget } = memory(dataVersion, characters);
  const forgetting =
    <A extends readonly unknown[], T>(write: (...given: A) => Promise<T>) =>
    (...given: A): Promise<T> =>
      write(...given).finally(forget);
  return {
    ...store,
    read: (farmId, kind, id) =>
      recall(
        `${farmId}\0${kind}\0${id}`,
        ({ text }) => text.length,
        () => store.read(farmId, kind, id),
      ),
    key: (id) =>
      recall(
        id,
        ({ label }) => label.length,
        () => store.key(id),
      ),
    create: forgetting(store.create),
    change: forgetting(store.change),
    remove: forgetting(store.remove),
    addKey: forgetting(store.addKey),
    revokeKey: forgetting(store.revokeKey),
  };
};
