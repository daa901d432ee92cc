import { join } from 'node:path';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import type { DailyWeather } from '../../src/core/weather/schema.ts';
import type { Deps, Who } from '../../src/service/contract.ts';
import type { RecordKind } from '../../src/service/records/schema.ts';
import { recordKinds } from '../../src/service/records/schema.ts';
import { createFarm, createRecord } from '../../src/service/records.ts';
import type { PostedWeather } from '../../src/service/takenWeather.ts';
import { openSqlite } from '../../src/store/sqlite.ts';
import { scratchFolder } from './folder.ts';
import { inline } from './inline.ts';

export const operator: Who = { keyId: 'op', farmId: null, role: 'operator', expiresAtMs: null };
export const keeperOf = (farmId: string): Who => ({
  keyId: `keeper-${farmId}`,
  farmId,
  role: 'keeper',
  expiresAtMs: null,
});

/** A service on an empty store; its clock stands still. */
export const serviceAt = async (instant: string, more: Partial<Deps> = {}): Promise<Deps> => ({
  store: await openSqlite({ path: join(scratchFolder(), 'farms.db') }),
  sources: {},
  compute: inline,
  catalogue: loadCatalogue(),
  nowMs: () => Date.parse(instant),
  ...more,
});

/** An invented farm without records. */
export const emptyFarm = async (deps: Deps, timeZone = 'America/Chicago'): Promise<string> =>
  (await createFarm(deps, operator, { name: 'Plumbline Hollow', timeZone, units: 'metric' })).row.id;

/** Adds a record as a request would: through the schema of its kind. */
export const added = async (deps: Deps, farmId: string, kind: RecordKind, body: object): Promise<string> =>
  (await createRecord(deps, keeperOf(farmId), farmId, kind, recordKinds[kind].schema.parse(body))).row.id;

/** The least that a field needs. */
export const plainField = {
  name: 'Gate Field',
  geometry: { type: 'Point', coordinates: [-93, 41.7] },
  soil: { texture: 'silt-loam' },
  weeds: [{ species: 'waterhemp' }, { species: 'giant-foxtail' }],
};

/** Daily weather as it is posted. */
export const posted = (weather: DailyWeather): PostedWeather => ({ type: 'json', text: JSON.stringify(weather) });
