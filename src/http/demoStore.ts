import { parsed } from '../core/base/schema.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Deps, Who } from '../service/contract.ts';
import { demoFarm } from '../service/demo.ts';
import { keepWeather } from '../service/keptWeather.ts';
import { farm as farmSchema, type RecordKind, recordKinds } from '../service/records/schema.ts';
import { createFarm, createRecord, listFarms } from '../service/records.ts';
import { dateAt } from '../service/zone.ts';

/** Who the history says it was. */
const server: Who = { keyId: 'server', farmId: null, role: 'operator', expiresAtMs: null };
/** Two servers that start at once on one database make it once. */
const once = { scope: 'server', key: 'demo-farm', hash: 'demo-farm' };

type Keep = (kind: RecordKind, data: unknown) => Promise<string>;

const keepField = async (keep: Keep, field: FieldInput, stationId: string): Promise<void> => {
  const { name, areaHa, soil, weeds, site, planting, companions = [], seedbedDates = [], passes = [] } = field;
  const { latitudeDeg, longitudeDeg, elevationM } = site;
  const geometry = { type: 'Point', coordinates: [longitudeDeg, latitudeDeg] };
  const fieldId = await keep('field', { name, areaHa, geometry, elevationM, soil, weeds, stationId });
  for (const sown of [...companions, ...(planting === undefined ? [] : [planting])])
    await keep('planting', { fieldId, ...sown });
  const seedbeds = seedbedDates.map((date) => ({ date, implement: 'seedbed' }));
  for (const pass of [...seedbeds, ...passes]) await keep('pass', { fieldId, ...pass });
};

/**
 * Puts the demo farm into a database in which there is nothing yet: no farm and no key. It is invented, and its name
 * says so.
 * @returns the farm's name, or null where there was something
 */
export const keepDemoFarm = async (deps: Deps): Promise<string | null> => {
  const [first] = await listFarms(deps, server, { after: null, limit: 1 });
  if (first !== undefined || (await deps.store.keys(null)).length > 0) return null;
  const { fields, name: given, timeZone } = demoFarm(dateAt(deps.nowMs(), 'America/Chicago'));
  const [field] = fields;
  if (field === undefined) return null;
  const name = `${given} (invented)`;
  const { row, replayed } = await createFarm(
    deps,
    server,
    parsed(farmSchema, { name, timeZone, invented: true }, 'demo'),
    once,
  );
  if (replayed) return null;
  const keep: Keep = async (kind, data) => {
    const checked = parsed(recordKinds[kind].schema, data, 'demo');
    return (await createRecord(deps, server, row.id, kind, checked)).row.id;
  };
  const { timeZone: _, ...place } = field.site;
  const stationId = await keep('station', { name: 'Invented weather', ...place });
  const weather = { type: 'json', text: JSON.stringify(field.weather) } as const;
  await keepWeather(deps, server, row.id, stationId, weather, { add: false, version: null });
  for (const { id } of field.implements) await keep('machine', { name: id.replaceAll('-', ' '), id });
  for (const each of fields) await keepField(keep, each, stationId);
  return name;
};
