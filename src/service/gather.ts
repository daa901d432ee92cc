import { type DayNumber, dayNumber, isoDate } from '../core/base/day.ts';
import { type WhitethreadError, whitethreadError } from '../core/base/errors.ts';
import { hemisphereMonthDay, latestOn } from '../core/base/season.ts';
import { SEEDBED_IMPLEMENT } from '../core/outlook/catalogue.ts';
import { type FieldInput, MOST_ENDED } from '../core/outlook/schema.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { type ExpectedWeed, MOST_DENSITY } from '../core/weeds/schema.ts';
import type { Implement } from '../core/windows/schema.ts';
import type { Store } from '../store/contract.ts';
import { allEntries } from './allEntries.ts';
import { allRecords, type Kept } from './allRecords.ts';
import type { Deps } from './contract.ts';
import { type Cropping, datesOf, endedBy } from './cropping.ts';
import { asKnownOn, cut } from './joined.ts';
import { centroid } from './place.ts';
import type { FieldRecord, MachineRecord, PassRecord, PlantingRecord, StationRecord } from './records/schema.ts';
import { SEEDBED } from './references.ts';

/** What a farm keeps that fields are computed from. */
export type FarmParts = {
  readonly fields: readonly Kept<FieldRecord>[];
  readonly machines: readonly Kept<MachineRecord>[];
  readonly stations: readonly Kept<StationRecord>[];
  readonly plantings: readonly Kept<PlantingRecord>[];
  readonly passes: readonly Kept<PassRecord>[];
  /** Implements of its own that passes were made with and whose machines are gone. */
  readonly goneImplements: readonly Implement[];
};

/** How far forecasts reach, days. */
export const AHEAD_DAYS = 15;

/** Implements of the farm's own with these ids, from the history of its machines, as they last stood. */
const ownOnce = async (store: Pick<Store, 'history'>, farmId: string, ids: Set<string>): Promise<Implement[]> => {
  const found = new Map<string, Implement>();
  if (ids.size === 0) return [];
  for await (const { text } of allEntries(store, farmId, { kind: 'machine' })) {
    const own = text === null ? undefined : (JSON.parse(text) as MachineRecord).own;
    if (own !== undefined && ids.has(own.id)) found.set(own.id, own);
  }
  return [...found.values()];
};

export const farmParts = async (
  { store, catalogue }: Pick<Deps, 'store' | 'catalogue'>,
  farmId: string,
): Promise<FarmParts> => {
  const [fields, machines, stations, plantings, passes] = await Promise.all([
    allRecords<FieldRecord>(store, farmId, 'field'),
    allRecords<MachineRecord>(store, farmId, 'machine'),
    allRecords<StationRecord>(store, farmId, 'station'),
    allRecords<PlantingRecord>(store, farmId, 'planting'),
    allRecords<PassRecord>(store, farmId, 'pass'),
  ]);
  const known = new Set([
    SEEDBED,
    SEEDBED_IMPLEMENT,
    ...catalogue.implements.map(({ id }) => id),
    ...machines.flatMap(({ data }) => data.own?.id ?? []),
  ]);
  const unknown = new Set(passes.map(({ data }) => data.implement).filter((id) => !known.has(id)));
  return { fields, machines, stations, plantings, passes, goneImplements: await ownOnce(store, farmId, unknown) };
};

/** Before the autumn's first component of any species of the catalogue, MM-DD of the north. */
const WEEDS_BEGIN = '08-01';

/**
 * From when weather counts: winter annuals germinate in the autumn before the year of the weeds, which turns in the winter
 * of either hemisphere, and a crop may be older still.
 * @param planted when each crop was
 * @param latitudeDeg of the field; negative in the south
 */
export const weatherBegins = (on: DayNumber, planted: readonly string[], latitudeDeg: number): DayNumber => {
  const monthDay = (northern: string): string => hemisphereMonthDay(northern, latitudeDeg < 0);
  const autumn = latestOn(monthDay(WEEDS_BEGIN), latestOn(monthDay('01-01'), on));
  return Math.min(autumn, ...planted.map(dayNumber));
};

const sown = ({ crop, date, depthCm, rowCm }: PlantingRecord) => ({ crop, date, depthCm, rowCm });

/** Two machines may be of one own kind, and records kept before that was refused may describe a plant twice: the last counts. */
const lastOfEach = <T extends { readonly id: string }>(list: readonly T[]): T[] => [
  ...new Map(list.map((one) => [one.id, one])).values(),
];

/** The machines of a farm as an outlook takes them; without any, what most farms own. Too many are for it to refuse. */
const implementsOf = (
  { machines, goneImplements }: FarmParts,
  made: readonly Kept<PassRecord>[],
): Pick<FieldInput, 'implements' | 'ownImplements'> => {
  const owned = machines.map(({ data }) => {
    const { name: _, own: __, ...implement } = data;
    return implement;
  });
  return {
    implements: owned.length > 0 ? owned : [{ id: 'rotary-hoe' }, { id: 'tine-weeder' }],
    ownImplements: lastOfEach([
      ...machines.flatMap(({ data }) => (data.own === undefined ? [] : [data.own])),
      ...goneImplements.filter(({ id }) => made.some(({ data }) => data.implement === id)),
    ]),
  };
};

/**
 * Why nothing is known of a day that the weather does not reach; null where it does.
 * @param where what the day is
 */
export const unreached = (
  { startDate, tempMaxC }: DailyWeather,
  day: DayNumber,
  where: string,
  advice: string,
): WhitethreadError | null => {
  const start = dayNumber(startDate);
  const end = start + tempMaxC.length - 1;
  if (day >= start && day <= end) return null;
  return whitethreadError([
    {
      code: 'weather-too-short',
      where,
      given: isoDate(day),
      allowed: `a day of the station's weather, ${startDate} to ${isoDate(end)}`,
      advice,
    },
  ]);
};

/** What is asked of a field: the day, the crops it is asked for, and how many days after it. */
export type Question = Omit<Cropping, 'note'> & { readonly timeZone: string; readonly on: DayNumber };

/** Records kept before a species was refused that stands twice: it counts once, with both weights. */
const eachOnce = (weeds: readonly ExpectedWeed[]): ExpectedWeed[] => {
  const densities = new Map<string, number>();
  for (const { species, relativeDensity } of weeds)
    densities.set(species, Math.min(MOST_DENSITY, (densities.get(species) ?? 0) + relativeDensity));
  return [...densities].map(([species, relativeDensity]) => ({ species, relativeDensity }));
};

/** One stored field as the request that its outlook is computed from. What happened before its weather begins tells nothing. */
export const fieldInput = (
  field: Kept<FieldRecord>,
  parts: FarmParts,
  weather: DailyWeather,
  { timeZone, on, plantings, days }: Question,
): FieldInput => {
  const { name, areaHa, geometry, elevationM, soil, weeds, ownSpecies, ownCrops } = field.data;
  const place = centroid(geometry);
  const sowings = plantings.map(({ data }) => sown(data));
  const from = weatherBegins(on, datesOf(plantings), place.latitudeDeg);
  const [first, last] = [isoDate(from), isoDate(on)];
  const known = asKnownOn(cut(weather, from, on + AHEAD_DAYS), on);
  // How large one was that was sown before the weather begins, nobody can tell.
  const ended = endedBy(parts.plantings, field.id, on)
    .filter(({ planting }) => planting.date >= known.startDate)
    .map(({ planting, endedOn }) => ({ ...sown(planting), endedOn }));
  const made = parts.passes
    .filter(({ data: { fieldId, date } }) => fieldId === field.id && date >= first && date <= last)
    .toSorted((a, b) => (a.data.date < b.data.date ? -1 : 1));
  return {
    name,
    areaHa,
    site: { ...place, elevationM, timeZone },
    soil,
    weather: known,
    today: isoDate(on),
    planting: sowings.at(-1),
    companions: sowings.slice(0, -1),
    endedPlantings: ended.slice(-MOST_ENDED),
    weeds: eachOnce(weeds),
    passes: made.map(({ data: { date, implement, depthCm } }) => ({
      date,
      implement: implement === SEEDBED ? SEEDBED_IMPLEMENT : implement,
      depthCm,
    })),
    ...implementsOf(parts, made),
    horizonDays: days,
    ownSpecies: lastOfEach(ownSpecies),
    ownCrops: lastOfEach(ownCrops),
  };
};
