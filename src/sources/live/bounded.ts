/** Puts an entry into a map that holds at most `most`; the one that was put in longest ago goes first. */
export const putBounded = <K, V>(map: Map<K, V>, key: K, value: V, most: number): void => {
  map.delete(key);
  map.set(key, value);
  const oldest = map.keys().next();
  if (map.size > most && oldest.done !== true) map.delete(oldest.value);
};

/** Does a piece of work once for all who ask for it by one name while it is under way. */
export const shared = <T>() => {
  const going = new Map<string, Promise<T>>();
  return (name: string, work: () => Promise<T>): Promise<T> => {
    const found = going.get(name) ?? work().finally(() => going.delete(name));
    going.set(name, found);
    return found;
  };
};

/** Lets at most `most` pieces of work run at a time; the others wait their turn. */
export const turns = (most: number) => {
  const waiting: (() => void)[] = [];
  let running = 0;
  return async <T>(work: () => Promise<T>): Promise<T> => {
    if (running < most) running++;
    else await new Promise<void>((resolve) => waiting.push(resolve));
    try {
      return await work();
    } finally {
      const next = waiting.shift();
      if (next === undefined) running--;
      else next();
    }
  };
};
