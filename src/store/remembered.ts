import { FARM, type Key, type Row, type Store } from './contract.ts';

/** Rows of more text than this together are not kept: about 64 MB at two bytes a character. */
const CHARACTERS = 32 * 1024 * 1024;
/** What an entry weighs besides its text, in characters. */
const OVERHEAD = 256;

const { nodeTiming } = performance;

/**
 * Rises whenever the event loop takes in what has come from outside, and at its every turn. Whoever asks for something has
 * asked before, so what others do until it rises again may count as done later.
 */
const moment = (): number => {
  const { loopCount, events } = nodeTiming.uvMetricsInfo;
  return loopCount + events;
};

/**
 * Counts what was written: by this process, which says so, and by others, which `dataVersion` tells. The database is
 * asked once in a moment, however many reads fall into it.
 */
const counter = (dataVersion: () => number) => {
  let seen = dataVersion();
  let own = 0;
  let others = 0;
  let asked = -1;
  const ask = (): void => {
    const now = moment();
    if (asked === now) return;
    const version = dataVersion();
    if (version !== seen) others += 1;
    seen = version;
    asked = now;
  };
  return {
    /** Writes of others. */
    others: (): number => {
      ask();
      return others;
    },
    /** Writes of anyone. */
    all: (): number => {
      ask();
      return own + others;
    },
    wrote: (): void => {
      own += 1;
    },
  };
};
type Counter = ReturnType<typeof counter>;

/** Things read before, as long as nobody else has written, nor this process what is named to `forget`. */
const memory = <T>(count: Counter, characters: number, size: (found: T) => number) => {
  const held = new Map<string, T>();
  let room = characters;
  let heldSince = 0;
  const forgetAll = (): void => {
    held.clear();
    room = characters;
  };
  const forget = (name: string): void => {
    const known = held.get(name);
    if (known !== undefined) room += size(known) + name.length + OVERHEAD;
    held.delete(name);
  };
  const recall = async (name: string, ask: () => Promise<T | null>): Promise<T | null> => {
    const since = count.all();
    if (count.others() !== heldSince) forgetAll();
    heldSince = count.others();
    const known = held.get(name);
    if (known !== undefined) return known;
    const found = await ask();
    // Things may have changed while the read was under way.
    if (found === null || since !== count.all()) return found;
    const taken = size(found) + name.length + OVERHEAD;
    if (taken > characters) return found;
    forget(name);
    if (taken > room) forgetAll();
    room -= taken;
    held.set(name, found);
    return found;
  };
  return { recall, forget, forgetAll };
};

/** The lengths keep apart what could run together. */
const placeOf = (farmId: string, kind: string, id: string): string =>
  `${farmId.length} ${kind.length} ${farmId}${kind}${id}`;

/**
 * A store that answers a repeated `read` or `key` without asking the database.
 * @param dataVersion a number that changes when anyone else has written
 * @param characters text of rows to keep at most
 */
export const remembered = (store: Store, dataVersion: () => number, characters = CHARACTERS): Store => {
  const count = counter(dataVersion);
  const rows = memory<Row>(count, characters, ({ text }) => text.length);
  const keys = memory<Key>(count, characters, ({ label }) => label.length);
  const wroteRow = (farmId: string, kind: string, id: string): void => {
    count.wrote();
    // With a farm go its rows and its keys.
    if (kind === FARM) wroteAny();
    else rows.forget(placeOf(farmId, kind, id));
  };
  const wroteAny = (): void => {
    count.wrote();
    rows.forgetAll();
    keys.forgetAll();
  };
  return {
    ...store,
    generation: count.all,
    read: (farmId, kind, id) => rows.recall(placeOf(farmId, kind, id), () => store.read(farmId, kind, id)),
    key: (id) => keys.recall(id, () => store.key(id)),
    // Also a write that failed may have left something.
    create: (row, ...more) => store.create(row, ...more).finally(() => wroteRow(row.farmId, row.kind, row.id)),
    change: (row, ...more) => store.change(row, ...more).finally(() => wroteRow(row.farmId, row.kind, row.id)),
    remove: (farmId, kind, id, ...more) =>
      store.remove(farmId, kind, id, ...more).finally(() => wroteRow(farmId, kind, id)),
    addKey: (key) => store.addKey(key).finally(wroteAny),
    revokeKey: (...given) => store.revokeKey(...given).finally(wroteAny),
  };
};
