import { columns, wholeField as outsideField, TODAY } from '../story/client/farm.ts';
import { type Call, caller, good } from './api.ts';

/** The day that the invented farm stands on; its weather reaches from 1 January to 30 May 2026. */
export const FARM_DAY = TODAY;

/** Its weather as columns. */
export const farmWeather = () => columns(0, 150);

/** A whole field on that weather, for requests that keep nothing. */
export const wholeField = outsideField;

export type MadeFarm = {
  readonly farmId: string;
  readonly path: string;
  readonly key: string;
  readonly call: Call;
  readonly stationId: string;
  readonly fieldIds: readonly string[];
};

/** Makes an invented farm on a server: a keeper's key, a station with its weather, a hoe, two planted fields. */
export const madeFarm = async (address: string, operator: string): Promise<MadeFarm> => {
  const asOperator = caller(address, operator);
  const farm = good(await asOperator('POST', '/v1/farms', { name: 'Plumbline Hollow', timeZone: 'America/Chicago' }));
  const path = `/v1/farms/${farm.id}`;
  const { key } = good<{ key: string }>(await asOperator('POST', `${path}/keys`, { role: 'keeper', label: 'office' }));
  const call = caller(address, key);
  const make = async (kind: string, data: object): Promise<string> =>
    good(await call('POST', `${path}/${kind}`, data)).id;
  const stationId = await make('stations', { name: 'Yard', latitudeDeg: 41.7, longitudeDeg: -93 });
  good(await call('PUT', `${path}/stations/${stationId}/weather`, farmWeather()));
  await make('machines', { name: 'The old hoe', id: 'rotary-hoe' });
  const fieldIds: string[] = [];
  for (const name of ['Gate Field', 'Long Strip']) {
    const fieldId = await make('fields', {
      name,
      geometry: { type: 'Point', coordinates: [-93, 41.7] },
      soil: { texture: 'silt-loam' },
      weeds: [{ species: 'waterhemp' }, { species: 'giant-foxtail' }],
      stationId,
    });
    await make('plantings', { fieldId, crop: 'soybean', date: '2026-05-05' });
    fieldIds.push(fieldId);
  }
  return { farmId: farm.id, path, key, call, stationId, fieldIds };
};
