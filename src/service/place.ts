import type { Geometry } from './geometry/schema.ts';

type Position = readonly [number, number, (number | undefined)?];
/** Twice the area, and the sums whose quotients are the centroid, about a first point. */
type Moments = { readonly area: number; readonly x: number; readonly y: number };

/** A longitude on the same side of the date line as another. */
const near = (lon: number, first: number): number => lon - 360 * Math.round((lon - first) / 360);

/** Of a ring, in degrees; the sign of the area is that of its turning. */
const moments = (ring: readonly Position[], [lon0, lat0]: Position): Moments => {
  let area = 0;
  let x = 0;
  let y = 0;
  for (let i = 0; i + 1 < ring.length; i++) {
    const [lonA, latA] = ring[i] as Position;
    const [lonB, latB] = ring[i + 1] as Position;
    const [ax, ay, bx, by] = [near(lonA, lon0) - lon0, latA - lat0, near(lonB, lon0) - lon0, latB - lat0];
    const cross = ax * by - bx * ay;
    area += cross;
    x += (ax + bx) * cross;
    y += (ay + by) * cross;
  }
  return { area, x, y };
};

/** The outline less its holes, however either turns. */
const polygonMoments = ([outline = [], ...holes]: readonly (readonly Position[])[], origin: Position): Moments => {
  const signed = (ring: readonly Position[], sign: number): Moments => {
    const { area, x, y } = moments(ring, origin);
    const factor = area < 0 ? -sign : sign;
    return { area: factor * area, x: factor * x, y: factor * y };
  };
  return [signed(outline, 1), ...holes.map((hole) => signed(hole, -1))].reduce(sum);
};

/** The least box that holds positions, in degrees from an origin. */
const boxOf = (positions: readonly Position[], [lon0, lat0]: Position) => {
  const lons = positions.map(([lon]) => near(lon, lon0) - lon0);
  const lats = positions.map(([, lat]) => lat - lat0);
  return { west: Math.min(...lons), east: Math.max(...lons), south: Math.min(...lats), north: Math.max(...lats) };
};

/** Whether a ring may be a hole of an outline: the box around it lies in the other's. */
export const isWithin = (hole: readonly Position[], outline: readonly Position[]): boolean => {
  const origin = outline[0] as Position;
  const [inner, outer] = [boxOf(hole, origin), boxOf(outline, origin)];
  return (
    inner.west >= outer.west && inner.east <= outer.east && inner.south >= outer.south && inner.north <= outer.north
  );
};

const sum = (a: Moments, b: Moments): Moments => ({ area: a.area + b.area, x: a.x + b.x, y: a.y + b.y });

/**
 * The point that stands for a field: its centroid by area, holes left out; for an outline without area, or one that crosses
 * itself so that this lies beside it, its first point.
 * A field is small, so degrees are taken as a plane; the date line may cross it.
 * @example centroid({ type: 'Point', coordinates: [-93.6, 42] }) // { latitudeDeg: 42, longitudeDeg: -93.6 }
 */
export const centroid = (geometry: Geometry): { readonly latitudeDeg: number; readonly longitudeDeg: number } => {
  if (geometry.type === 'Point') {
    const [longitudeDeg, latitudeDeg] = geometry.coordinates;
    return { latitudeDeg, longitudeDeg };
  }
  const polygons: readonly (readonly (readonly Position[])[])[] =
    geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates;
  const origin = polygons[0]?.[0]?.[0] as Position;
  const { area, x, y } = polygons.map((polygon) => polygonMoments(polygon, origin)).reduce(sum);
  const [lon0, lat0] = origin;
  const [east, north] = [x / (3 * area), y / (3 * area)];
  const box = boxOf(polygons.flat(2), origin);
  // Also where there is no area to divide by.
  const isIn = east >= box.west && east <= box.east && north >= box.south && north <= box.north;
  if (!isIn) return { latitudeDeg: lat0, longitudeDeg: lon0 };
  return { latitudeDeg: lat0 + north, longitudeDeg: near(lon0 + east, 0) };
};

const RAD = Math.PI / 180;
const EARTH_KM = 6371;

/** How far it is from corner to corner of the box around positions, km. The date line may cross it. */
export const acrossKm = (positions: readonly Position[]): number => {
  const origin = positions[0] as Position;
  const { west, east, south, north } = boxOf(positions, origin);
  return EARTH_KM * RAD * Math.hypot(north - south, (east - west) * Math.cos(origin[1] * RAD));
};

/** Great-circle distance, km. @example distanceKm(0, 0, 0, 1) // 111.2 */
export const distanceKm = (latA: number, lonA: number, latB: number, lonB: number): number => {
  const half = (degrees: number) => Math.sin((degrees * RAD) / 2) ** 2;
  const chord = half(latB - latA) + Math.cos(latA * RAD) * Math.cos(latB * RAD) * half(lonB - lonA);
  return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(chord)));
};
