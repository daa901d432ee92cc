import type { RecordKind } from '../service/records/schema.ts';

type Words = { readonly one: string; readonly many: string; readonly what: string };

/** How operations and the document name each kind. */
export const wordsOf: Readonly<Record<RecordKind, Words>> = {
  field: {
    one: 'Field',
    many: 'Fields',
    what: 'Ground, the weeds expected on it, and the station that stands for its weather.',
  },
  machine: {
    one: 'Machine',
    many: 'Machines',
    what: 'An implement of the catalogue with what differs here, or one of the farm’s own.',
  },
  crew: { one: 'Crew', many: 'Crews', what: 'A driver, a tractor or a hand crew, with the hours it can work.' },
  station: {
    one: 'Station',
    many: 'Stations',
    what: 'Where weather comes from: what was observed, and what is forecast.',
  },
  planting: { one: 'Planting', many: 'Plantings', what: 'A crop in a field from planting until it is taken off.' },
  pass: { one: 'Pass', many: 'Passes', what: 'A pass that was made over a field, for the forecast and the certifier.' },
  count: { one: 'Count', many: 'Counts', what: 'Weeds counted in a field on a day.' },
};
