import { loadCatalogue, loadTargets } from '../catalogue/load.ts';
import { whitethreadError } from '../core/base/errors.ts';
import type { SoilDays } from '../core/soil/days.ts';
import { type Curve, derivedCurve, targetErrorDays } from '../core/weeds/derivation.ts';

/** The constants of one component of a species: as they ship and as they would be derived today, with errors in days. */
export type Derivation = {
  readonly speciesId: string;
  readonly component: number;
  readonly season: string;
  readonly shipped: Curve & { readonly errorDays: readonly (number | null)[] };
  readonly derived: Curve & { readonly errorDays: readonly (number | null)[] };
};

const unmatched = (speciesId: string, targets: number, components: number) =>
  whitethreadError([
    {
      code: 'invalid-input',
      where: `species/${speciesId}.targets`,
      given: `${targets} targets for ${components} components`,
      allowed: 'one for each component, in the same order',
    },
  ]);

const unknown = (speciesId: string) =>
  whitethreadError([
    {
      code: 'unknown-species',
      where: '--species',
      given: speciesId,
      allowed: 'the id of a species of the catalogue',
      advice: 'See: whitethread catalogue species',
    },
  ]);

/**
 * Derives the constants of the catalogue's species from their target dates.
 * @param soil many years at the place of the targets
 * @param ids species to derive; all when empty
 */
export const derivations = (soil: SoilDays, ids: readonly string[]): Derivation[] => {
  const { species } = loadCatalogue();
  const targets = loadTargets();
  const stray = ids.find((id) => !species.some((one) => one.id === id));
  if (stray !== undefined) throw unknown(stray);
  const wanted = species.filter((one) => ids.length === 0 || ids.includes(one.id));
  return wanted.flatMap((one) => {
    const dates = targets.get(one.id) ?? [];
    const { components } = one.germination;
    if (dates.length !== components.length) throw unmatched(one.id, dates.length, components.length);
    return components.map((component, c) => {
      const target = dates[c]?.dates as NonNullable<(typeof dates)[number]>['dates'];
      const { lagCd, scaleCd, shape, season, start } = component;
      return {
        speciesId: one.id,
        component: c,
        season,
        shipped: { lagCd, scaleCd, shape, errorDays: targetErrorDays(soil, one, component, target) },
        derived: derivedCurve(soil, one, start, target),
      };
    });
  });
};

type Wrapped = { readonly value: unknown };
type SpeciesFile = {
  readonly germination: { readonly components: readonly Readonly<Record<string, unknown>>[] };
};

/** A species file's content with the derived constants in the place of its own; everything else stays, origins too. */
export const withConstants = <T extends SpeciesFile>(file: T, found: readonly Derivation[]): T => ({
  ...file,
  germination: {
    ...file.germination,
    components: file.germination.components.map((component, c) => {
      const constants = found.find((one) => one.component === c)?.derived;
      if (constants === undefined) return component;
      const valued = (key: keyof Curve) => ({ ...(component[key] as Wrapped), value: constants[key] });
      return { ...component, lagCd: valued('lagCd'), scaleCd: valued('scaleCd'), shape: valued('shape') };
    }),
  },
});
