import { expect, it } from 'vitest';
import { farNotes, fieldStation } from '../../src/service/fieldStation.ts';
import { field as fieldSchema, station as stationSchema } from '../../src/service/records/schema.ts';
import { plainField } from '../support/farmService.ts';

const field = (more: object = {}) => fieldSchema.parse({ ...plainField, ...more });
const station = (id: string, latitudeDeg: number, longitudeDeg: number) => ({
  id,
  data: stationSchema.parse({ name: id, latitudeDeg, longitudeDeg }),
});
// The field lies at 41.7, -93.
const [near, far] = [station('near', 41.8, -93), station('far', 42.7, -93)];

it('is the station that the field names, else the nearest', () => {
  expect(fieldStation(field(), [far, near]).id).toBe('near');
  expect(
    fieldStation(field({ stationId: '01k00000000000000000000000' }), [
      { ...far, id: '01k00000000000000000000000' },
      near,
    ]).data.name,
  ).toBe('far');
  expect(() => fieldStation(field({ stationId: '01k00000000000000000000000' }), [near])).toThrow('Gate Field');
  expect(() => fieldStation(field(), [])).toThrow('no weather station');
});

it('a degree of latitude is 111 km (International Nautical Mile: 60 x 1.852): too far for showers, and told', () => {
  expect(farNotes(field(), near)).toEqual([]);
  expect(farNotes(field(), far)).toEqual([expect.stringMatching(/^Gate Field: .* far, 111 km \(69 miles\) away/)]);
  const exchanged = field({ geometry: { type: 'Point', coordinates: [41.7, -84] } });
  expect(farNotes(exchanged, near)[0]).toContain('longitude and latitude');
});
