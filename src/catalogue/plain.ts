import type { Sourced } from './schema.ts';

/** Whether a node of a catalogue file is a value with its provenance, as `sourced` in schema.ts describes it. */
export const isSourced = (node: unknown): node is Sourced =>
  typeof node === 'object' && node !== null && 'value' in node && 'basis' in node;

/**
 * A catalogue file's content with every value out of its wrapper: the shape that the core knows.
 * @example plain({ baseTempC: { value: 4.4, unit: 'C', basis: 'published', source: 'goplen-2018' } }) // { baseTempC: 4.4 }
 */
export const plain = (node: unknown): unknown => {
  if (isSourced(node)) return node.value;
  if (Array.isArray(node)) return node.map(plain);
  if (typeof node !== 'object' || node === null) return node;
  return Object.fromEntries(Object.entries(node).map(([key, child]) => [key, plain(child)]));
};

/**
 * Every wrapper of a catalogue file with its path.
 * @param path of `node`, such as species/giant-ragweed/
 * @example wrappers({ components: [{ lagCd: w }] }, 'species/x/') // [['species/x/components[0].lagCd', w]]
 */
export const wrappers = (node: unknown, path: string): (readonly [string, Sourced])[] => {
  if (isSourced(node)) return [[path, node]];
  if (Array.isArray(node)) return node.flatMap((child, index) => wrappers(child, `${path}[${index}]`));
  if (typeof node !== 'object' || node === null) return [];
  return Object.entries(node).flatMap(([key, child]) =>
    wrappers(child, path.endsWith('/') ? `${path}${key}` : `${path}.${key}`),
  );
};
