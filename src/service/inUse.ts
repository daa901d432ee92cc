import { whitethreadError } from '../core/base/errors.ts';
import type { Inside } from '../store/contract.ts';
import { allRecords, type Kept } from './allRecords.ts';
import { fieldStation } from './fieldStation.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';

/** So many fields are told by name; of more, how many. */
const MOST_TOLD = 5;

const listed = (fields: readonly Kept<FieldRecord>[]): string => {
  const told = fields.slice(0, MOST_TOLD).map(({ id, data }) => `${data.name} (${id})`);
  const more = fields.length - told.length;
  return told.join(', ') + (more === 0 ? '' : ` and ${more} more`);
};

/**
 * Refuses to take away a station that fields have their weather from, because they name it or it is the nearest: they
 * would have no answer or another, and their passes in the record of the certifier would change.
 * @throws WhitethreadError 'in-use'
 */
export const assertNoFieldUses = async (store: Inside, farmId: string, stationId: string): Promise<void> => {
  const stations = await allRecords<StationRecord>(store, farmId, 'station');
  const isUnder = ({ data }: Kept<FieldRecord>): boolean =>
    (data.stationId ?? fieldStation(data, stations).id) === stationId;
  const fields = (await allRecords<FieldRecord>(store, farmId, 'field')).filter(isUnder);
  if (fields.length === 0) return;
  throw whitethreadError([
    {
      code: 'in-use',
      where: 'station',
      given: `${stationId}, from which ${fields.length === 1 ? 'a field has its' : `${fields.length} fields have their`} weather: ${listed(fields)}`,
      allowed: 'a station that no field has its weather from',
      advice: 'Give these fields another stationId first',
    },
  ]);
};
