import { z } from 'zod';
import {
  areaHa,
  civilDate,
  depthCm,
  elevationM,
  latitudeDeg,
  linesText,
  lineText,
  longitudeDeg,
  rowCm,
  slug,
} from '../../core/base/quantity.ts';
import { pass } from '../../core/base/schema.ts';
import { fieldRequest, ownedImplement } from '../../core/outlook/schema.ts';
import { site } from '../../core/weather/schema.ts';
import { weedStages } from '../../core/weeds/schema.ts';
import { implement } from '../../core/windows/schema.ts';
import { isWithin } from '../place.ts';

/** Ids that the service gives. */
export const recordId = () => z.string().regex(/^[0-9a-z]{12,40}$/, { error: 'an id that the server gave' });
const note = () => linesText(2000).optional();

/** Of one geometry: an outline of more tells nothing more of a field. */
const MOST_POSITIONS = 2000;

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

/** Refuses too many positions as a whole: to look at each of them takes long. */
const fewPositions = (given: unknown, { addIssue }: z.core.$RefinementCtx): unknown => {
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
      z.strictObject({ type: z.literal('Polygon'), coordinates: polygon }),
      z.strictObject({ type: z.literal('MultiPolygon'), coordinates: z.array(polygon).min(1).max(50) }),
    ],
    { error: 'GeoJSON of the type Point, Polygon or MultiPolygon, longitude first' },
  ),
);
export type Geometry = Readonly<z.infer<typeof geometry>>;

export const farm = z.strictObject({
  name: lineText(),
  /** Decides what "tomorrow" is, and how hours are written; without it both would be those of Greenwich. */
  timeZone: site.shape.timeZone.unwrap(),
  /** The units of answers where a request names none. */
  units: z.enum(['metric', 'us']).default('metric'),
  /** True for a farm that is made up, such as the demo farm: its answers say so. */
  invented: z.boolean().optional(),
});
export type FarmRecord = Readonly<z.infer<typeof farm>>;

/** Ground, weeds expected, and the weather station that stands for it. */
export const field = z.strictObject({
  name: lineText(),
  areaHa: areaHa().optional(),
  geometry,
  elevationM: elevationM().default(200),
  soil: fieldRequest.shape.soil,
  weeds: fieldRequest.shape.weeds,
  /** Without it, the nearest station of the farm. */
  stationId: recordId().optional(),
  ownSpecies: fieldRequest.shape.ownSpecies,
  ownCrops: fieldRequest.shape.ownCrops,
});
export type FieldRecord = Readonly<z.infer<typeof field>>;

/** A machine: the catalogue's with what differs on this farm, or one of the farm's own. */
export const machine = z.strictObject({
  name: lineText(),
  ...ownedImplement.shape,
  own: implement.optional(),
});
export type MachineRecord = Readonly<z.infer<typeof machine>>;

const clock = () => z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'a time of day HH:MM' });

/** Who or what pulls, and when: a driver, a tractor, a hand crew. */
export const crew = z.strictObject({
  name: lineText(),
  kind: z.enum(['driver', 'tractor', 'hands']),
  /** Local hours between which it can work. */
  from: clock().default('07:00'),
  to: clock().default('19:00'),
  /** At most so many of them a day. */
  hoursADay: z.number().positive().max(24).default(10).meta({ unit: 'h' }),
  /** Machines that it can pull; without it, all of them. */
  machineIds: z.array(recordId()).max(30).optional(),
});
export type CrewRecord = Readonly<z.infer<typeof crew>>;

/** A crop in a field from planting until it is taken off. */
export const planting = z
  .strictObject({
    fieldId: recordId(),
    crop: slug(),
    date: civilDate(),
    depthCm: depthCm().optional(),
    rowCm: rowCm().optional(),
    endedOn: civilDate()
      .describe(
        'Harvested, failed or ploughed in on this day. Without it the crop stands until another is sown more than a month later',
      )
      .optional(),
  })
  .refine(({ date, endedOn }) => endedOn === undefined || endedOn >= date, {
    error: 'a day that is not before `date`',
    path: ['endedOn'],
  });
export type PlantingRecord = Readonly<z.infer<typeof planting>>;

/** A pass that was made, today at the latest. `seedbed` is a full-width cultivation before planting. */
export const passMade = z.strictObject({
  fieldId: recordId(),
  date: civilDate(),
  /** Id of the catalogue, of one of the farm's own machines, or 'seedbed'. */
  implement: slug(),
  depthCm: pass.shape.depthCm,
  machineId: recordId().optional(),
  crewId: recordId().optional(),
  /** What was seen, for the certifier: weather, weeds, anything. */
  note: note(),
});
export type PassRecord = Readonly<z.infer<typeof passMade>>;

/** Weeds counted in a field on a day, today at the latest. */
export const count = z.strictObject({
  fieldId: recordId(),
  date: civilDate(),
  species: slug(),
  stage: z.enum(weedStages).optional(),
  perM2: z.number().min(0).max(100_000).meta({ unit: '1/m2' }),
  note: note(),
});
export type CountRecord = Readonly<z.infer<typeof count>>;

export const observedBy = ['posted', 'power', 'ncei', 'archive'] as const;
export const forecastBy = ['none', 'us-grid', 'global'] as const;

/** Where a farm's weather comes from: what was observed, and what is forecast. Addresses of services are never a caller's. */
export const station = z.strictObject({
  name: lineText(),
  latitudeDeg: latitudeDeg(),
  longitudeDeg: longitudeDeg(),
  elevationM: elevationM().default(200),
  observed: z.enum(observedBy).default('posted'),
  forecast: z.enum(forecastBy).default('none'),
  /** The source's own name of its station, such as USC00130200. */
  sourceStation: z
    .string()
    .regex(/^[A-Za-z0-9_-]{1,40}$/, { error: '1 to 40 letters, digits, - or _' })
    .optional(),
});
export type StationRecord = Readonly<z.infer<typeof station>>;

/** Everything a farm keeps, by kind: its schema, and the role that may write it. */
export const recordKinds = {
  field: { schema: field, writer: 'keeper', path: 'fields' },
  machine: { schema: machine, writer: 'keeper', path: 'machines' },
  crew: { schema: crew, writer: 'keeper', path: 'crews' },
  station: { schema: station, writer: 'keeper', path: 'stations' },
  planting: { schema: planting, writer: 'planner', path: 'plantings' },
  pass: { schema: passMade, writer: 'planner', path: 'passes' },
  count: { schema: count, writer: 'planner', path: 'counts' },
} as const;
export type RecordKind = keyof typeof recordKinds;
