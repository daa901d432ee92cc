import { whitethreadError } from '../core/base/errors.ts';
import type { Kept } from './allRecords.ts';
import { centroid, distanceKm } from './place.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';

type Station = Kept<StationRecord>;

/** Beyond it a shower on the field is often none at the station. Default of judgement. */
const FAR_KM = 30;

const awayKm = (field: FieldRecord, { data }: Station): number => {
  const { latitudeDeg, longitudeDeg } = centroid(field.geometry);
  return distanceKm(latitudeDeg, longitudeDeg, data.latitudeDeg, data.longitudeDeg);
};

/** The station that stands for a field: its own, else the nearest. @throws WhitethreadError 'not-found' */
export const fieldStation = (field: FieldRecord, stations: readonly Station[]): Station => {
  const found =
    field.stationId === undefined
      ? stations.toSorted((a, b) => awayKm(field, a) - awayKm(field, b))[0]
      : stations.find(({ id }) => id === field.stationId);
  if (found !== undefined) return found;
  throw whitethreadError([
    {
      code: 'not-found',
      where: `field ${field.name}`,
      given: field.stationId ?? 'no weather station',
      allowed: 'a station of the farm',
      advice: 'Add a station, post its weather or name a source',
    },
  ]);
};

/** That the weather of a field comes from far away: another station would do better, or a coordinate is wrong. */
export const farNotes = (field: FieldRecord, station: Station): string[] => {
  const km = Math.round(awayKm(field, station));
  if (km <= FAR_KM) return [];
  return [
    `${field.name}: its weather is that of ${station.data.name}, ${km} km (${Math.round(km / 1.609344)} miles) away. Showers differ over such a distance; look also whether longitude and latitude were exchanged`,
  ];
};
