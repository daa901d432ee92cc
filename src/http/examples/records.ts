/** Ids as the service gives them. */
export const ids = {
  farm: '0k3v8xq2m4h7t1ab',
  field: '0k3v8xq2m4h7t1ac',
  station: '0k3v8xq2m4h7t1ad',
  machine: '0k3v8xq2m4h7t1ae',
  crew: '0k3v8xq2m4h7t1af',
  planting: '0k3v8xq2m4h7t1ag',
  pass: '0k3v8xq2m4h7t1ah',
  count: '0k3v8xq2m4h7t1aj',
} as const;

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
  crew: { name: 'Tractor and one driver', kind: 'tractor', from: '06:00', to: '20:00', machineIds: [ids.machine] },
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
