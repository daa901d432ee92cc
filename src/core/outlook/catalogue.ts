import { type Problem, whitethreadError } from '../base/errors.ts';
import type { Crop } from '../crop/schema.ts';
import type { Species } from '../weeds/schema.ts';
import type { Implement } from '../windows/schema.ts';
import type { WeightedSpecies } from '../windows/weedReach.ts';
import { type Named, plantingsOf } from './plantings.ts';
import type { FieldRequest } from './schema.ts';

/** What the outlook looks names up in; `loadCatalogue` gives the one that ships. */
export type CatalogueCore = {
  readonly species: readonly Species[];
  readonly crops: readonly Crop[];
  readonly implements: readonly Implement[];
};

/** The entries that one field needs: the caller's own go before the catalogue's. */
export type Chosen = {
  readonly species: readonly WeightedSpecies[];
  /** In the order of `plantingsOf`. */
  readonly sown: readonly (Named & { readonly crop: Crop })[];
  /** Those that have ended. */
  readonly gone: readonly (Named & { readonly crop: Crop; readonly endedOn: string })[];
  /** Owned, with what differs on this farm. */
  readonly implements: readonly Implement[];
  /** By id, every implement that a pass may name. */
  readonly known: ReadonlyMap<string, Implement>;
};

/** The seedbed passes of a request are made with this implement. */
export const SEEDBED_IMPLEMENT = 'seedbed-cultivator';

const byId = <T extends { readonly id: string }>(shipped: readonly T[], own: readonly T[]): Map<string, T> =>
  new Map([...shipped, ...own].map((entry) => [entry.id, entry]));

const firstOfEach = <T extends { readonly id: string }>(entries: readonly T[]): T[] =>
  entries.filter(({ id }, i) => entries.findIndex((entry) => entry.id === id) === i);

const ownIn = {
  'unknown-species': 'ownSpecies',
  'unknown-crop': 'ownCrops',
  'unknown-implement': 'ownImplements',
} as const;

const unknown = (code: keyof typeof ownIn, where: string, given: string, allowed: Iterable<string>): Problem => ({
  code,
  where,
  given,
  allowed: `one of ${[...allowed].sort().join(', ')}`,
  advice: `Or describe your own in ${ownIn[code]} of the field`,
});

/**
 * Looks up every name of a request.
 * @throws WhitethreadError with every unknown name: 'unknown-species', 'unknown-crop', 'unknown-implement'
 */
export const chosen = (field: FieldRequest, catalogue: CatalogueCore): Chosen => {
  const species = byId(catalogue.species, field.ownSpecies);
  const crops = byId(catalogue.crops, field.ownCrops);
  const known = byId(catalogue.implements, field.ownImplements);
  const plantings = plantingsOf(field);
  const gone = field.endedPlantings.map((planting, i) => ({ planting, where: `endedPlantings[${i}]` }));
  const used = [
    ...field.implements.map(({ id }, i) => ({ id, where: `implements[${i}].id` })),
    ...field.passes.map(({ implement }, i) => ({ id: implement, where: `passes[${i}].implement` })),
    ...field.seedbedDates.map((_, i) => ({ id: SEEDBED_IMPLEMENT, where: `seedbedDates[${i}]` })),
  ];
  const problems: Problem[] = [
    ...field.weeds
      .map(({ species: id }, i) => ({ id, where: `weeds[${i}].species` }))
      .filter(({ id }) => !species.has(id))
      .map(({ id, where }) => unknown('unknown-species', where, id, species.keys())),
    ...used
      .filter(({ id }) => !known.has(id))
      .map(({ id, where }) => unknown('unknown-implement', where, id, known.keys())),
    ...[...plantings, ...gone]
      .filter(({ planting }) => !crops.has(planting.crop))
      .map(({ planting, where }) => unknown('unknown-crop', `${where}.crop`, planting.crop, crops.keys())),
  ];
  if (problems.length > 0) throw whitethreadError(problems);
  return {
    species: field.weeds.map(({ species: id, relativeDensity }) => ({
      species: species.get(id) as Species,
      relativeDensity,
    })),
    sown: plantings.map((one) => ({ ...one, crop: crops.get(one.planting.crop) as Crop })),
    gone: gone.map((one) => ({ ...one, crop: crops.get(one.planting.crop) as Crop, endedOn: one.planting.endedOn })),
    // Two of one kind open the same windows, whatever their width: they are told once.
    implements: firstOfEach(field.implements).map((owned) => {
      const own = Object.entries(owned).filter(([, value]) => value !== undefined);
      return { ...(known.get(owned.id) as Implement), ...Object.fromEntries(own) };
    }),
    known,
  };
};
