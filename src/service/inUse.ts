import { whitethreadError } from '../core/base/errors.ts';
import type { Inside } from '../store/contract.ts';
import { allRecords, type Kept } from './allRecords.ts';
import type { FieldRecord } from './records/schema.ts';

/** So many fields are told by name; of more, how many. */
const MOST_TOLD = 5;

const listed = (fields: readonly Kept<FieldRecord>[]): string => {
  const told = fields.slice(0, MOST_TOLD).map(({ id, data }) => `${data.name} (${id})`);
  const more = fields.length - told.length;
  return told.join(', ') + (more === 0 ? '' : ` and ${more} more`);
};

/**
 * Refuses to take away a station that fields name: they would have no weather. One that is merely the nearest may go, as the
 * next is then asked.
 * @throws WhitethreadError 'in-use'
 */
export const assertNoFieldNames = async (store: Inside, farmId: string, stationId: string): Promise<void> => {
  const fields = (await allRecords<FieldRecord>(store, farmId, 'field')).filter(
    ({ data }) => data.stationId === stationId,
  );
  if (fields.length === 0) return;
  throw whitethreadError([
    {
      code: 'in-use',
      where: 'station',
      given: `${stationId}, which ${fields.length === 1 ? 'a field names' : `${fields.length} fields name`}: ${listed(fields)}`,
      allowed: 'a station that no field names as its stationId',
      advice: 'Give these fields another stationId first',
    },
  ]);
};
