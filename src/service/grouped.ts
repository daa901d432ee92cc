/**
 * Things by a name of theirs, each group in their order.
 * @example grouped(['oat', 'pea', 'oak'], (word) => word[0] ?? '') // new Map([['o', ['oat', 'oak']], ['p', ['pea']]])
 */
export const grouped = <T>(things: readonly T[], nameOf: (thing: T) => string): ReadonlyMap<string, readonly T[]> => {
  const groups = new Map<string, T[]>();
  for (const thing of things) {
    const name = nameOf(thing);
    const group = groups.get(name);
    if (group === undefined) groups.set(name, [thing]);
    else group.push(thing);
  }
  return groups;
};
