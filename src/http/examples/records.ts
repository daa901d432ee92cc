import { farm, type RecordKind, recordKinds } from '../../service/records/schema.ts';
import { wordsOf } from '../words.ts';

/** Ids as the service gives them. */
export const ids = {
  farm: '01kq3v8xq2m4h7t1abcdefghjk',
  field: '01kq3v8xq2m4h7t1abcdefghjm',
  station: '01kq3v8xq2m4h7t1abcdefghjn',
  machine: '01kq3v8xq2m4h7t1abcdefghjp',
  crew: '01kq3v8xq2m4h7t1abcdefghjq',
  planting: '01kq3v8xq2m4h7t1abcdefghjr',
  pass: '01kq3v8xq2m4h7t1abcdefghjs',
  count: '01kq3v8xq2m4h7t1abcdefghjt',
  key: '01kq3v8xq2m4h7t1abcdefghjv',
} as const;
const AT = '2026-05-19T11:30:00.000Z';

/** One of each kind, as it is sent. The farm and everything on it is invented. */
export const bodies = {
  farm: { name: 'Plumbline Hollow', timeZone: 'America/Chicago', units: 'us' },
  field: {
    name: 'Gate Field',
    areaHa: 24,
    geometry: { type: 'Point', coordinates: [-93, 41.7] },
    elevationM: 280,
    soil: { texture: 'silt-loam', drainage: 'moderate', organicMatterFrac: 0.03 },
    weeds: [{ species: 'waterhemp', relativeDensity: 3 }, { species: 'giant-foxtail' }],
    stationId: ids.station,
  },
  machine: { name: 'The old hoe', id: 'rotary-hoe', widthM: 6.4 },
  crew: { name: 'Tractor and driver', kind: 'tractor', from: '06:00', to: '20:00', machineIds: [ids.machine] },
  station: {
    name: 'Yard',
    latitudeDeg: 41.7,
    longitudeDeg: -93,
    elevationM: 280,
    observed: 'posted',
    forecast: 'us-grid',
  },
  planting: { fieldId: ids.field, crop: 'soybean', date: '2026-05-10', depthCm: 4, rowCm: 76 },
  pass: {
    fieldId: ids.field,
    date: '2026-05-19',
    implement: 'rotary-hoe',
    machineId: ids.machine,
    note: 'Dry, breezy',
  },
  count: { fieldId: ids.field, date: '2026-05-18', species: 'waterhemp', stage: 'cotyledon', perM2: 40 },
} as const;

const json = (answer: unknown) => ({ 'application/json': answer });
const kept = (id: string, data: unknown) => ({ id, version: 1, createdAt: AT, changedAt: AT, data });

const ofKind = (kind: RecordKind) => {
  const { one, many } = wordsOf[kind];
  const body = bodies[kind];
  const record = kept(ids[kind], recordKinds[kind].schema.parse(body));
  return {
    [`create${one}`]: { body, answer: json(record) },
    [`list${many}`]: { answer: json({ items: [record], next: null }) },
    [`read${one}`]: { answer: json(record) },
    [`change${one}`]: { body, answer: json({ ...record, version: 2 }) },
  };
};

const key = {
  id: ids.key,
  farmId: ids.farm,
  role: 'planner',
  label: 'Spring help',
  createdAt: AT,
  expiresAt: '2099-11-01T00:00:00.000Z',
  revokedAt: null,
};
const wish = { role: key.role, label: key.label, expiresAt: key.expiresAt };
const operatorKey = { ...key, farmId: null, role: 'operator', label: 'The one who runs the server' };
// Too short to be a key, so that no one takes it for one.
const SHOWN_ONCE = 'wt_01kq3v8xq2m4h7t1abcdefghjv_...';

/** Examples of everything that is kept, by operation. */
export const recordExamples = () => {
  const record = kept(ids.farm, farm.parse(bodies.farm));
  const entry = { seq: 1, kind: 'farm', id: ids.farm, version: 1, action: 'create', keyId: ids.key, at: AT };
  return {
    createFarm: { body: bodies.farm, answer: json(record) },
    listFarms: { answer: json({ items: [record], next: null }) },
    readFarm: { answer: json(record) },
    changeFarm: { body: bodies.farm, answer: json({ ...record, version: 2 }) },
    history: { answer: json({ items: [{ ...entry, data: record.data }], next: null }) },
    createFarmKey: { body: wish, answer: json({ ...key, key: SHOWN_ONCE }) },
    listFarmKeys: { answer: json({ items: [key] }) },
    createKey: {
      body: { role: 'operator', label: operatorKey.label },
      answer: json({ ...operatorKey, key: SHOWN_ONCE }),
    },
    listKeys: { answer: json({ items: [operatorKey] }) },
    ...Object.assign({}, ...(Object.keys(recordKinds) as RecordKind[]).map(ofKind)),
  };
};
