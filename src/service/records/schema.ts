import { z } from 'zod';
import { MOST_PROBLEMS } from '../../core/base/errors.ts';
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
import { geometry } from '../geometry/schema.ts';

/** Ids that the service gives. */
export const recordId = () => z.string().regex(/^[0-9a-z]{12,40}$/, { error: 'an id that the server gave' });
const note = () => linesText(2000).optional();

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
  /** Without it, the nearest station of the farm that has weather. */
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
export const planting = z.strictObject({
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

/** What stands behind a default, or may be left out. */
const within = (schema: unknown): unknown =>
  schema instanceof z.ZodOptional || schema instanceof z.ZodDefault ? within(schema.unwrap()) : schema;

const readable = (schema: z.ZodType, given: unknown): unknown => {
  const { success, data } = schema.safeParse(given);
  if (success) return data;
  const form = within(schema);
  if (form instanceof z.ZodArray && Array.isArray(given))
    return given.slice(0, MOST_PROBLEMS).map((item) => readable(form.element as z.ZodType, item));
  return form instanceof z.ZodObject && typeof given === 'object' && given !== null
    ? membersIn(form.shape, given)
    : undefined;
};

const membersIn = (shape: Readonly<Record<string, z.ZodType>>, given: unknown): object =>
  Object.fromEntries(
    Object.entries(shape).flatMap(([name, member]) => {
      const value = Reflect.get(Object(given), name);
      const found = readable(member, value);
      return value === undefined && found === undefined ? [] : [[name, found]];
    }),
  );

/**
 * What of a body has the form of its member, in lists and in members too. What is of another form is there and undefined: that
 * it was given counts, not what it says.
 */
export const membersOf = (kind: RecordKind, given: unknown): object => membersIn(recordKinds[kind].schema.shape, given);
