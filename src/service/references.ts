import { type Problem, whitethreadError } from '../core/base/errors.ts';
import { SEEDBED_IMPLEMENT } from '../core/outlook/catalogue.ts';
import type { ExpectedWeed } from '../core/weeds/schema.ts';
import type { Check } from '../store/contract.ts';
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
import { removedRecord } from './removed.ts';

/** A word of ours for a pass with whatever makes the seedbed. */
export const SEEDBED = 'seedbed';

type Reference = { readonly kind: RecordKind; readonly id: string; readonly where: string };
type Part = 'species' | 'crops' | 'implements';
type Name = {
  readonly part: Part;
  readonly id: string;
  readonly where: string;
  /** Where one that the catalogue lacks can be described. */
  readonly advice: string;
};
const codeOf = { species: 'unknown-species', crops: 'unknown-crop', implements: 'unknown-implement' } as const;

const to = (kind: RecordKind, where: string, id: string | undefined): Reference[] =>
  id === undefined ? [] : [{ kind, id, where }];

/** Records of the same farm that a record names. Of one of another form only those that can be read. */
const references = (kind: RecordKind, data: object): Reference[] => {
  if (kind === 'field') return to('station', 'stationId', (data as FieldRecord).stationId);
  if (kind === 'crew')
    return ((data as CrewRecord).machineIds ?? []).flatMap((id, i) => to('machine', `machineIds[${i}]`, id));
  if (kind === 'planting' || kind === 'count') return to('field', 'fieldId', (data as Partial<PlantingRecord>).fieldId);
  if (kind !== 'pass') return [];
  const { fieldId, machineId, crewId } = data as Partial<PassRecord>;
  return [
    ...to('field', 'fieldId', fieldId),
    ...to('machine', 'machineId', machineId),
    ...to('crew', 'crewId', crewId),
  ];
};

/**
 * Entries of the catalogue that a record names; neither it nor its field brings them. None where the id of what it brings
 * cannot be read.
 */
const names = (kind: RecordKind, data: object, field: FieldRecord | null): Name[] => {
  const name = (
    part: Part,
    id: string | undefined,
    where: string,
    own: readonly ({ readonly id?: string } | undefined)[] | undefined,
    advice: string,
  ): Name[] =>
    id === undefined || own === undefined || own.some((one) => one?.id === undefined || one.id === id)
      ? []
      : [{ part, id, where, advice: `Or ${advice}` }];
  if (kind === 'field') {
    const { weeds = [], ownSpecies } = data as Partial<FieldRecord>;
    const advice = 'describe your own in ownSpecies';
    return weeds.flatMap((weed: Partial<ExpectedWeed> | undefined, i) =>
      name('species', weed?.species, `weeds[${i}].species`, ownSpecies, advice),
    );
  }
  if (kind === 'machine') {
    const { id, own } = data as Partial<MachineRecord>;
    const brought = 'own' in data ? own && [own] : [];
    return name('implements', id, 'id', brought, 'describe your own in `own`, with the same id');
  }
  if (kind === 'count') {
    const { species } = data as Partial<CountRecord>;
    return name('species', species, 'species', field?.ownSpecies ?? [], 'describe your own in ownSpecies of the field');
  }
  if (kind === 'planting') {
    const { crop } = data as Partial<PlantingRecord>;
    return name('crops', crop, 'crop', field?.ownCrops ?? [], 'describe your own in ownCrops of the field');
  }
  if (kind !== 'pass') return [];
  const seedbed = [{ id: SEEDBED }, { id: SEEDBED_IMPLEMENT }];
  const advice = `${SEEDBED}, or describe your own in \`own\` of a machine`;
  return name('implements', (data as Partial<PassRecord>).implement, 'implement', seedbed, advice);
};

/** Whether a pass with an implement may have been made with a machine. */
export const isWith = ({ id }: MachineRecord, implement: string): boolean => implement === SEEDBED || id === implement;

const otherTool = (machine: MachineRecord, { implement, machineId }: Partial<PassRecord>): Problem[] => {
  if (implement === undefined || isWith(machine, implement)) return [];
  return [
    {
      code: 'contradiction',
      where: 'machineId',
      given: `${machineId}, "${machine.name}", which is a ${machine.id}`,
      allowed: `a machine that is a ${implement}, as the pass says`,
      advice: 'Correct the implement or the machine, or leave the machine out',
    },
  ];
};

const notThere = ({ kind, id, where }: Reference): Problem => ({
  code: 'not-found',
  where,
  given: id,
  allowed: `a ${kind} of this farm`,
});

const idsNamed = (kind: RecordKind, data: object | null): ReadonlySet<string> =>
  new Set((data === null ? [] : references(kind, data)).map(({ id }) => id));

/**
 * Looks within a write whether the records that a record names are still there. Undefined where it names none beside those
 * that the version before named.
 */
export const stillThere = (
  farmId: string,
  kind: RecordKind,
  data: object,
  before: object | null,
): Check | undefined => {
  const held = idsNamed(kind, before);
  const named = references(kind, data).filter(({ id }) => !held.has(id));
  if (named.length === 0) return undefined;
  return async (inside) => {
    const problems: Problem[] = [];
    for (const one of named) if ((await inside.read(farmId, one.kind, one.id)) === null) problems.push(notThere(one));
    if (problems.length > 0) throw whitethreadError(problems);
  };
};

type Found = { readonly problems: readonly Problem[]; readonly field: FieldRecord | null };

/** Looks up the records that a record names. What the version before named already may be gone since. */
const lookedUp = async (
  { store }: Pick<Deps, 'store'>,
  farmId: string,
  kind: RecordKind,
  data: object,
  before: object | null,
): Promise<Found> => {
  const held = idsNamed(kind, before);
  const problems: Problem[] = [];
  let field: FieldRecord | null = null;
  for (const reference of references(kind, data)) {
    const { kind: named, id } = reference;
    const row = await store.read(farmId, named, id);
    const gone = row === null && held.has(id) ? await removedRecord(store, farmId, named, id) : null;
    const found: unknown = row === null ? gone?.data : JSON.parse(row.text);
    if (found === undefined) problems.push(notThere(reference));
    else if (named === 'field') field = found as FieldRecord;
    else if (named === 'machine' && kind === 'pass') problems.push(...otherTool(found as MachineRecord, data));
  }
  return { problems, field };
};

/**
 * What a record names that its farm or the catalogue does not have: 'not-found', 'unknown-species', 'unknown-crop',
 * 'unknown-implement'; 'contradiction' where a pass names a machine that is another tool. Another farm's records are not
 * there.
 * @param data a record, or of one of another form what `membersOf` gives
 * @param before the version that it takes the place of: what that named stays allowed, so that a record can be put back as read
 */
export const referenceProblems = async (
  deps: Pick<Deps, 'store' | 'catalogue'>,
  farmId: string,
  kind: RecordKind,
  data: object,
  before: object | null,
): Promise<Problem[]> => {
  const { store, catalogue } = deps;
  const { problems: found, field } = await lookedUp(deps, farmId, kind, data, before);
  const problems = [...found];
  const held = new Set((before === null ? [] : names(kind, before, null)).map(({ id }) => id));
  for (const { part, id, where, advice } of names(kind, data, field)) {
    if (held.has(id) || catalogue[part].some((entry) => entry.id === id)) continue;
    if (part === 'implements' && kind === 'pass' && (await isOwnMachine(store, farmId, id))) continue;
    const allowed = `one of ${catalogue[part]
      .map((entry) => entry.id)
      .sort()
      .join(', ')}`;
    problems.push({ code: codeOf[part], where, given: id, allowed, advice });
  }
  return problems;
};

const isOwnMachine = async (store: Deps['store'], farmId: string, implement: string): Promise<boolean> => {
  const machines = await allRecords<MachineRecord>(store, farmId, 'machine');
  return machines.some(({ data }) => data.own?.id === implement);
};
