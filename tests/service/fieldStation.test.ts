import { describe, expect, it } from 'vitest';
import { type ErrorCode, whitethreadError } from '../../src/core/base/errors.ts';
import { farNotes, fieldStations, firstWithWeather } from '../../src/service/fieldStation.ts';
import { field as fieldSchema, station as stationSchema } from '../../src/service/records/schema.ts';
import { plainField } from '../support/farmService.ts';

const field = (more: object = {}) => fieldSchema.parse({ ...plainField, ...more });
const station = (id: string, latitudeDeg: number, longitudeDeg: number) => ({
  id,
  data: stationSchema.parse({ name: id, latitudeDeg, longitudeDeg }),
});
// The field lies at 41.7, -93.
const [near, far] = [station('near', 41.8, -93), station('far', 42.7, -93)];

const ids = (of: ReturnType<typeof field>, stations: readonly (typeof near)[]) =>
  fieldStations(of, stations).map(({ id }) => id);

it('is the station that the field names, else the nearest first', () => {
  const named = '01k00000000000000000000000';
  expect(ids(field(), [far, near])).toEqual(['near', 'far']);
  expect(ids(field({ stationId: named }), [near, { ...far, id: named }])).toEqual([named]);
  expect(ids(field({ stationId: named }), [near])).toEqual([]);
});

describe('the first with weather', () => {
  const fault = (code: ErrorCode, { id }: typeof near) =>
    whitethreadError([{ code, where: id, given: 'nothing', allowed: 'weather' }]);

  it.each(['weather-empty', 'weather-too-short', 'source-outside'] as const)(
    'is the next where one is %s',
    async (code) => {
      const ask = async (station: typeof near) => {
        if (station === near) throw fault(code, station);
        return 'sunny';
      };
      expect(await firstWithWeather(field(), [near, far], ask)).toEqual({
        station: far,
        weather: 'sunny',
        stopped: code === 'weather-too-short' ? near : undefined,
      });
      await expect(firstWithWeather(field(), [near], ask)).rejects.toMatchObject({
        code,
        problems: [{ where: 'near' }],
      });
    },
  );

  it('is not another where a source cannot be had: the same question has an answer later', async () => {
    const ask = async (station: typeof near) => {
      if (station === near) throw fault('source-unavailable', station);
      return 'sunny';
    };
    await expect(firstWithWeather(field(), [near, far], ask)).rejects.toMatchObject({ code: 'source-unavailable' });
  });

  it('is none where all lack it, as the first says, and where there is no station', async () => {
    const ask = async (station: typeof near): Promise<never> => {
      throw fault('weather-empty', station);
    };
    await expect(firstWithWeather(field(), [near, far], ask)).rejects.toMatchObject({ problems: [{ where: 'near' }] });
    await expect(firstWithWeather(field(), [], ask)).rejects.toThrow('Gate Field: given no weather station');
  });
});

it('a degree of latitude is 111 km (International Nautical Mile: 60 x 1.852): too far for showers, and told', () => {
  expect(farNotes(field(), near)).toEqual([]);
  expect(farNotes(field(), far)).toEqual([expect.stringMatching(/^Gate Field: .* far, 111 km \(69 miles\) away/)]);
  const exchanged = field({ geometry: { type: 'Point', coordinates: [41.7, -84] } });
  expect(farNotes(exchanged, near)[0]).toContain('longitude and latitude');
});
