import { type Problem, whitethreadError } from '../core/base/errors.ts';
import { SEEDBED_IMPLEMENT } from '../core/outlook/catalogue.ts';
import { allRecords } from './allRecords.ts';
import type { Deps } from './contract.ts';
import type {
  CountRecord,
  CrewRecord,
  FieldRecord,
  MachineRecord,
  PassRecord,
  PlantingRecord,
  RecordKind,
} from './records/schema.ts';

/** A word of ours for a pass with whatever makes the seedbed. */
export const SEEDBED = 'seedbed';

type Reference = { readonly kind: RecordKind; readonly id: string; readonly where: string };
type Name = {
  readonly code: 'unknown-species' | 'unknown-crop' | 'unknown-implement';
  readonly part: 'species' | 'crops' | 'implements';
  readonly id: string;
  readonly where: string;
};

const to = (kind: RecordKind, where: string, id: string | undefined): Reference[] =>
  id === undefined ? [] : [{ kind, id, where: `body.${where}` }];

/** Records of the same farm that a record names. */
const references = (kind: RecordKind, data: object): Reference[] => {
  if (kind === 'field') return to('station', 'stationId', (data as FieldRecord).stationId);
  if (kind === 'crew')
    return ((data as CrewRecord).machineIds ?? []).flatMap((id, i) => to('machine', `machineIds[${i}]`, id));
  if (kind === 'planting' || kind === 'count') return to('field', 'fieldId', (data as PlantingRecord).fieldId);
  if (kind !== 'pass') return [];
  const { fieldId, machineId, crewId } = data as PassRecord;
  return [
    ...to('field', 'fieldId', fieldId),
    ...to('machine', 'machineId', machineId),
    ...to('crew', 'crewId', crewId),
  ];
};

/** Entries of the catalogue that a record names and does not bring itself. */
const names = (kind: RecordKind, data: object, own: FieldRecord | null): Name[] => {
  const species = (id: string, where: string, brought: readonly { readonly id: string }[]): Name[] =>
    brought.some((one) => one.id === id)
      ? []
      : [{ code: 'unknown-species', part: 'species', id, where: `body.${where}` }];
  if (kind === 'field') {
    const { weeds, ownSpecies } = data as FieldRecord;
    return weeds.flatMap((weed, i) => species(weed.species, `weeds[${i}].species`, ownSpecies));
  }
  if (kind === 'machine') {
    const { id, own } = data as MachineRecord;
    return own?.id === id ? [] : [{ code: 'unknown-implement', part: 'implements', id, where: 'body.id' }];
  }
  if (kind === 'count') return species((data as CountRecord).species, 'species', own?.ownSpecies ?? []);
  if (kind === 'planting') {
    const { crop } = data as PlantingRecord;
    if (own?.ownCrops.some(({ id }) => id === crop)) return [];
    return [{ code: 'unknown-crop', part: 'crops', id: crop, where: 'body.crop' }];
  }
  if (kind !== 'pass') return [];
  const { implement: id } = data as PassRecord;
  return id === SEEDBED || id === SEEDBED_IMPLEMENT
    ? []
    : [{ code: 'unknown-implement', part: 'implements', id, where: 'body.implement' }];
};

/**
 * Refuses a record that names what its farm or the catalogue does not have. Another farm's records are not there.
 * @throws WhitethreadError with every such name: 'not-found', 'unknown-species', 'unknown-crop', 'unknown-implement'
 */
export const assertReferences = async (
  { store, catalogue }: Pick<Deps, 'store' | 'catalogue'>,
  farmId: string,
  kind: RecordKind,
  data: object,
): Promise<void> => {
  const problems: Problem[] = [];
  let field: FieldRecord | null = null;
  for (const { kind: named, id, where } of references(kind, data)) {
    const row = await store.read(farmId, named, id);
    if (row === null) problems.push({ code: 'not-found', where, given: id, allowed: `a ${named} of this farm` });
    else if (named === 'field') field = JSON.parse(row.text) as FieldRecord;
  }
  for (const { code, part, id, where } of names(kind, data, field)) {
    if (catalogue[part].some((entry) => entry.id === id)) continue;
    if (part === 'implements' && kind === 'pass' && (await isOwnMachine(store, farmId, id))) continue;
    const allowed = `one of ${catalogue[part]
      .map((entry) => entry.id)
      .sort()
      .join(', ')}`;
    problems.push({ code, where, given: id, allowed, advice: 'Or describe your own' });
  }
  if (problems.length > 0) throw whitethreadError(problems);
};

const isOwnMachine = async (store: Deps['store'], farmId: string, implement: string): Promise<boolean> => {
  const machines = await allRecords<MachineRecord>(store, farmId, 'machine');
  return machines.some(({ data }) => data.own?.id === implement);
};
