import type { Problem } from '../core/base/errors.ts';
import { nceiStation } from '../sources/live/nceiStation.ts';
import type { Deps } from './contract.ts';
import { notDoneYet } from './notDoneYet.ts';
import type { FarmRecord, MachineRecord, PlantingRecord, RecordKind, StationRecord } from './records/schema.ts';
import { referenceProblems } from './references.ts';

const ending = ({ date, endedOn }: Partial<PlantingRecord>): Problem[] =>
  date === undefined || endedOn === undefined || endedOn >= date
    ? []
    : [
        {
          code: 'invalid-input',
          where: 'endedOn',
          given: `"${endedOn}"`,
          allowed: 'a day that is not before `date`',
        },
      ];

/** Kept without its name, such a station would never have any weather. */
const naming = (data: Partial<StationRecord>): Problem[] => {
  const { observed, sourceStation } = data;
  if (observed !== 'ncei' || nceiStation.form.test(sourceStation ?? '')) return [];
  if ('sourceStation' in data && sourceStation === undefined) return [];
  const given = sourceStation === undefined ? 'nothing' : `"${sourceStation}"`;
  return [{ code: 'invalid-input', where: 'sourceStation', given, allowed: `for ncei ${nceiStation.allowed}` }];
};

/** Under another id than the machine's, what was described would count for nothing: windows go by `id`. */
const describing = ({ id, own }: Partial<MachineRecord>): Problem[] =>
  id === undefined || own?.id === undefined || own.id === id
    ? []
    : [
        {
          code: 'contradiction',
          where: 'own.id',
          given: own.id,
          allowed: `${id}, as \`id\` says`,
          advice: 'Give both the same id, or leave `own` out',
        },
      ];

/** Members that do not go together. No part of the form: they are told also where another member has a fault of its own. */
const atOdds = (kind: RecordKind, data: object): Problem[] => {
  if (kind === 'planting') return ending(data);
  if (kind === 'machine') return describing(data);
  return kind === 'station' ? naming(data) : [];
};

/**
 * What is wrong with a record beside its form: in itself, on its day, and in what it names.
 * @param data a record, or of one of another form what `membersOf` gives
 * @param before as `referenceProblems` takes it
 */
export const contentProblems = async (
  deps: Pick<Deps, 'store' | 'catalogue' | 'nowMs'>,
  farmId: string,
  farm: FarmRecord,
  kind: RecordKind,
  data: object,
  before: object | null,
): Promise<Problem[]> => [
  ...atOdds(kind, data),
  ...notDoneYet(deps, kind, data, farm),
  ...(await referenceProblems(deps, farmId, kind, data, before)),
];
