import { describe, expect, it } from 'vitest';
import { centroid, distanceKm } from '../../src/service/place.ts';

const square = (lon: number, lat: number, side: number): [number, number][] => [
  [lon, lat],
  [lon + side, lat],
  [lon + side, lat + side],
  [lon, lat + side],
  [lon, lat],
];

describe('the point that stands for a field', () => {
  it('of a point is the point, with longitude first in the file', () => {
    expect(centroid({ type: 'Point', coordinates: [-93.6, 42] })).toEqual({ latitudeDeg: 42, longitudeDeg: -93.6 });
  });

  it('of a square is its middle, whichever way it turns', () => {
    for (const ring of [square(-93, 42, 0.01), square(-93, 42, 0.01).reverse()]) {
      const { latitudeDeg, longitudeDeg } = centroid({ type: 'Polygon', coordinates: [ring] });
      expect(latitudeDeg).toBeCloseTo(42.005, 9);
      expect(longitudeDeg).toBeCloseTo(-92.995, 9);
    }
  });

  it('of an L of three squares is at 5/6 of a side, from the corner', () => {
    const ring: [number, number][] = [
      [0, 0],
      [2, 0],
      [2, 1],
      [1, 1],
      [1, 2],
      [0, 2],
      [0, 0],
    ];
    const { latitudeDeg, longitudeDeg } = centroid({ type: 'Polygon', coordinates: [ring] });
    expect(latitudeDeg).toBeCloseTo(5 / 6, 9);
    expect(longitudeDeg).toBeCloseTo(5 / 6, 9);
  });

  it('moves away from a hole: a 4 x 4 square less its lower left 2 x 2 lies at 28/12', () => {
    const { latitudeDeg, longitudeDeg } = centroid({
      type: 'Polygon',
      coordinates: [square(0, 0, 4), square(0, 0, 2)],
    });
    expect(latitudeDeg).toBeCloseTo(28 / 12, 9);
    expect(longitudeDeg).toBeCloseTo(28 / 12, 9);
  });

  it('of two parts weighs them by area: 1 at 0.5 and 4 at 11 give 8.9', () => {
    const { longitudeDeg } = centroid({ type: 'MultiPolygon', coordinates: [[square(0, 0, 1)], [square(10, 0, 2)]] });
    expect(longitudeDeg).toBeCloseTo((0.5 + 4 * 11) / 5, 9);
  });

  it('of an outline that crosses itself so that it lies beside it is its first point', () => {
    // Two triangles that turn against each other, one a little larger: their areas nearly cancel, their moments do not.
    const ring: [number, number][] = [
      [0, 0],
      [1, 1],
      [1, 0],
      [0, 1.0001],
      [0, 0],
    ];
    expect(centroid({ type: 'Polygon', coordinates: [ring] })).toEqual({ latitudeDeg: 0, longitudeDeg: 0 });
  });

  it('across the date line stays near it, and an outline without area is its first point', () => {
    const ring: [number, number][] = [
      [179.9, -40],
      [-179.9, -40],
      [-179.9, -39.8],
      [179.9, -39.8],
      [179.9, -40],
    ];
    const { latitudeDeg, longitudeDeg } = centroid({ type: 'Polygon', coordinates: [ring] });
    expect(Math.abs(longitudeDeg)).toBeCloseTo(180, 6);
    expect(latitudeDeg).toBeCloseTo(-39.9, 9);
    const line: [number, number][] = [
      [1, 2],
      [3, 4],
      [1, 2],
      [1, 2],
    ];
    expect(centroid({ type: 'Polygon', coordinates: [line] })).toEqual({ latitudeDeg: 2, longitudeDeg: 1 });
  });

  it('a degree of latitude is 111.2 km; half the equator is 20,015 km', () => {
    expect(distanceKm(0, 0, 0, 1)).toBeCloseTo(111.19, 2);
    expect(distanceKm(0, 0, 0, 180)).toBeCloseTo(Math.PI * 6371, 6);
  });
});
