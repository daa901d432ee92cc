import type { Geometry } from './records/schema.ts';

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

const sum = (a: Moments, b: Moments): Moments => ({ area: a.area + b.area, x: a.x + b.x, y: a.y + b.y });

/**
 * The point that stands for a field: its centroid by area, holes left out; for an outline without area its first point.
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
  if (Math.abs(area) < 1e-15) return { latitudeDeg: lat0, longitudeDeg: lon0 };
  return { latitudeDeg: lat0 + y / (3 * area), longitudeDeg: near(lon0 + x / (3 * area), 0) };
};

const RAD = Math.PI / 180;
const EARTH_KM = 6371;

/** Great-circle distance, km. @example distanceKm(0, 0, 0, 1) // 111.2 */
export const distanceKm = (latA: number, lonA: number, latB: number, lonB: number): number => {
  const half = (degrees: number) => Math.sin((degrees * RAD) / 2) ** 2;
  const chord = half(latB - latA) + Math.cos(latA * RAD) * Math.cos(latB * RAD) * half(lonB - lonA);
  return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(chord)));
};
