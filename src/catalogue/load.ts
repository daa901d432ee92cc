import { readdirSync, readFileSync } from 'node:fs';
import type { Problem } from '../core/base/errors.ts';
import { whitethreadError } from '../core/base/errors.ts';
import { parsed } from '../core/base/schema.ts';
import type { Crop } from '../core/crop/schema.ts';
import { crop } from '../core/crop/schema.ts';
import type { Species } from '../core/weeds/schema.ts';
import { species } from '../core/weeds/schema.ts';
import type { Implement } from '../core/windows/schema.ts';
import { implement } from '../core/windows/schema.ts';
import { plain, wrappers } from './plain.ts';
import type { Reference, Sourced, Target } from './schema.ts';
import { references, sourced, targets } from './schema.ts';

export type Catalogue = {
  readonly species: readonly Species[];
  readonly crops: readonly Crop[];
  readonly implements: readonly Implement[];
  readonly references: Readonly<Record<string, Reference>>;
  /** Path of a value, such as species/giant-ragweed/germination.baseTempC, to the value with its origin. */
  readonly provenance: ReadonlyMap<string, Sourced>;
};

type Entry = { readonly path: string; readonly content: Readonly<Record<string, unknown>> };

const read = (file: string): unknown => JSON.parse(readFileSync(new URL(file, import.meta.url), 'utf8'));

/** The files of one kind in order of their names; `path` is the file without its ending. */
const entries = (kind: 'species' | 'crops' | 'implements'): Entry[] =>
  readdirSync(new URL(kind, import.meta.url))
    .filter((file) => file.endsWith('.json'))
    .sort()
    .map((file) => ({
      path: `${kind}/${file.slice(0, -'.json'.length)}`,
      content: read(`${kind}/${file}`) as Entry['content'],
    }));

/** A species file also holds the target dates, which the core has no use for. */
const withoutTargets = ({ targets: _, ...content }: Entry['content']): unknown => content;

const checkedProvenance = (all: readonly Entry[], known: Catalogue['references']): Catalogue['provenance'] => {
  const found = all.flatMap(({ path, content }) => wrappers(content, `${path}/`));
  const checked = found.map(([path, wrapper]) => [path, parsed(sourced, wrapper, path)] as const);
  const problems = checked
    .filter(([, { source }]) => source !== undefined && !Object.hasOwn(known, source))
    .map(
      ([path, { source }]): Problem => ({
        code: 'invalid-input',
        where: path,
        given: `source ${source}`,
        allowed: 'a key of references.json',
      }),
    );
  if (problems.length > 0) throw whitethreadError(problems);
  return new Map(checked);
};

/**
 * Reads and checks the species, crops and implements that come with the program.
 * @throws WhitethreadError that names the file and the place in it
 */
export const loadCatalogue = (): Catalogue => {
  const weeds = entries('species');
  const plants = entries('crops');
  const tools = entries('implements');
  const known = parsed(references, read('references.json'), 'references');
  return {
    species: weeds.map(({ path, content }) => parsed(species, plain(withoutTargets(content)), path)),
    crops: plants.map(({ path, content }) => parsed(crop, plain(content), path)),
    implements: tools.map(({ path, content }) => parsed(implement, plain(content), path)),
    references: known,
    provenance: checkedProvenance([...weeds, ...plants, ...tools], known),
  };
};

/** Reads the dates at the reference place, by species id, from which the emergence curves are derived. */
export const loadTargets = (): ReadonlyMap<string, readonly Target[]> =>
  new Map(
    entries('species').map(({ path, content }) => [
      path.slice('species/'.length),
      parsed(targets, plain(content.targets), `${path}.targets`),
    ]),
  );
