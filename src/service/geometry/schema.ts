import { z } from 'zod';
import { acrossKm, isWithin } from '../place.ts';

/** Of one geometry: an outline of more tells nothing more of a field. */
const MOST_POSITIONS = 2000;

/** No field is as large; a slip in a longitude, or its place taken by the latitude, makes one that is. */
const MOST_KM = 100;

/** RFC 7946: longitude first, degrees; a third number is a height, and there should be no further ones. */
const position = z.tuple([z.number().min(-180).max(180), z.number().min(-90).max(90), z.number().optional()]);
/** At least four positions, the last the same as the first. */
const ring = z
  .array(position)
  .min(4)
  .max(MOST_POSITIONS)
  .refine((points) => points[0]?.[0] === points.at(-1)?.[0] && points[0]?.[1] === points.at(-1)?.[1], {
    error: 'a closed ring: its last position is its first',
  });
const polygon = z
  .array(ring)
  .min(1)
  .max(50)
  .refine(([outline, ...holes]) => outline === undefined || holes.every((hole) => isWithin(hole, outline)), {
    error: 'holes within their outline, which is the first ring',
  });

/** Of a field: what lies farther apart is told by how far. */
const small = (outlines: z.infer<typeof ring>, { addIssue }: z.core.$RefinementCtx): void => {
  // An empty one is refused as such.
  if (outlines.length === 0) return;
  const km = acrossKm(outlines);
  if (km > MOST_KM)
    addIssue({
      code: 'custom',
      message: `an outline at most ${MOST_KM} km across, not ${Math.round(km)} km: longitude stands first, and each field is a record of its own`,
    });
};

/** A box around the geometry, which says nothing more: RFC 7946, 5. */
const isBox = (given: unknown): boolean =>
  Array.isArray(given) && [4, 6].includes(given.length) && given.every((value) => Number.isFinite(value));

/** Drops a box, and refuses too many positions as a whole: to look at each of them takes long. */
const fewPositions = (whole: unknown, { addIssue }: z.core.$RefinementCtx): unknown => {
  const { bbox, ...bare } = Object(whole) as { readonly bbox?: unknown };
  const given = isBox(bbox) ? bare : whole;
  const { type, coordinates } = Object(given) as { type?: unknown; coordinates?: unknown };
  const count = Array.isArray(coordinates) ? coordinates.flat(type === 'MultiPolygon' ? 2 : 1).length : 0;
  if (count > MOST_POSITIONS)
    addIssue({
      code: 'custom',
      message: `at most ${MOST_POSITIONS} positions together, not ${count}: simplify the outline`,
      path: ['coordinates'],
    });
  return given;
};

/** GeoJSON of a field, RFC 7946: a point in it, or its outline. */
export const geometry = z.preprocess(
  fewPositions,
  z.discriminatedUnion(
    'type',
    [
      z.strictObject({ type: z.literal('Point'), coordinates: position }),
      z.strictObject({
        type: z.literal('Polygon'),
        coordinates: polygon.superRefine(([outline = []], context) => small(outline, context)),
      }),
      z.strictObject({
        type: z.literal('MultiPolygon'),
        coordinates: z
          .array(polygon)
          .min(1)
          .max(50)
          .superRefine((polygons, context) =>
            small(
              polygons.flatMap(([outline = []]) => outline),
              context,
            ),
          ),
      }),
    ],
    { error: 'GeoJSON of the type Point, Polygon or MultiPolygon, longitude first' },
  ),
);
export type Geometry = Readonly<z.infer<typeof geometry>>;
