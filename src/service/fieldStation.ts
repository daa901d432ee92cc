import { type ErrorCode, isWhitethreadError, type WhitethreadError, whitethreadError } from '../core/base/errors.ts';
import type { Kept } from './allRecords.ts';
import { centroid, distanceKm } from './place.ts';
import type { FieldRecord, StationRecord } from './records/schema.ts';

type Station = Kept<StationRecord>;

/** Beyond it a shower on the field is often none at the station. Default of judgement. */
const FAR_KM = 30;

/** How far each station is from a field, km. The middle of an outline is looked for once. */
const awayKm = ({ geometry }: FieldRecord) => {
  const { latitudeDeg, longitudeDeg } = centroid(geometry);
  return ({ data }: Station): number => distanceKm(latitudeDeg, longitudeDeg, data.latitudeDeg, data.longitudeDeg);
};

/** Stations in the order of their distance from a field. */
export const nearestFirst = <S extends Station>(field: FieldRecord, stations: readonly S[]): readonly S[] => {
  const away = awayKm(field);
  return stations
    .map((station) => ({ station, km: away(station) }))
    .toSorted((a, b) => a.km - b.km)
    .map(({ station }) => station);
};

/** The stations that may stand for a field, the best first: the one that it names alone, else all. */
export const fieldStations = (field: FieldRecord, stations: readonly Station[]): readonly Station[] =>
  field.stationId === undefined ? nearestFirst(field, stations) : stations.filter(({ id }) => id === field.stationId);

/** A station that has none of the weather that is asked for; another may have it. */
const hasNone: ReadonlySet<ErrorCode> = new Set(['weather-empty', 'weather-too-short', 'source-outside']);

/**
 * The first of some stations that has weather, and the first before it that has some but not of the days asked for.
 * @param ask for the weather of a station
 * @throws WhitethreadError 'not-found' without any station, what the first lacks where all lack it, and what a source says
 */
export const firstWithWeather = async <W>(
  field: FieldRecord,
  stations: readonly Station[],
  ask: (station: Station) => Promise<W>,
): Promise<{ readonly station: Station; readonly weather: W; readonly stopped: Station | undefined }> => {
  let lacking: WhitethreadError | undefined;
  let stopped: Station | undefined;
  for (const station of stations)
    try {
      return { station, weather: await ask(station), stopped };
    } catch (error) {
      if (!isWhitethreadError(error) || !hasNone.has(error.code)) throw error;
      lacking ??= error;
      if (error.code === 'weather-too-short') stopped ??= station;
    }
  throw (
    lacking ??
    whitethreadError([
      {
        code: 'not-found',
        where: `field ${field.name}`,
        given: field.stationId ?? 'no weather station',
        allowed: 'a station of the farm',
        advice: 'Add a station, post its weather or name a source',
      },
    ])
  );
};

/** That the weather of a field comes from far away: another station would do better, or a coordinate is wrong. */
export const farNotes = (field: FieldRecord, station: Station): string[] => {
  const km = Math.round(awayKm(field)(station));
  if (km <= FAR_KM) return [];
  return [
    `${field.name}: its weather is that of ${station.data.name}, ${km} km (${Math.round(km / 1.609344)} miles) away. Showers differ over such a distance; look also whether longitude and latitude were exchanged`,
  ];
};

/** That another station stands for a field than one that is nearer and has stopped, or began later. */
export const standInNotes = (field: FieldRecord, station: Station, stopped: Station | undefined): string[] =>
  stopped === undefined
    ? []
    : [
        `${field.name}: its weather is that of ${station.data.name}, as ${stopped.data.name}, which is nearer, has none of that day`,
      ];
