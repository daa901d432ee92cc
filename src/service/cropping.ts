import { type DayNumber, dayNumber, isoDate } from '../core/base/day.ts';
import type { Kept } from './allRecords.ts';
import { grouped } from './grouped.ts';
import type { PlantingRecord } from './records/schema.ts';

type Plantings = readonly Kept<PlantingRecord>[];

/** Of each list of plantings those of each field by date: a record of passes asks the same list thousands of times. */
const sorted = new WeakMap<Plantings, ReadonlyMap<string, Plantings>>();

/** By date and then by crop, so that which was entered first makes no difference. */
const inOrder = ({ data: { date, crop } }: Kept<PlantingRecord>): string => `${date} ${crop}`;

const sortedFields = (plantings: Plantings): ReadonlyMap<string, Plantings> =>
  grouped(
    plantings.toSorted((a, b) => (inOrder(a) === inOrder(b) ? 0 : inOrder(a) < inOrder(b) ? -1 : 1)),
    ({ data }) => data.fieldId,
  );

const byDate = (plantings: Plantings, fieldId: string): Plantings => {
  const fields = sorted.get(plantings) ?? sortedFields(plantings);
  sorted.set(plantings, fields);
  return fields.get(fieldId) ?? [];
};

/** Crops sown within so many days stand together, as one under the cover of the other; a later one takes the place. */
const TOGETHER = 30;

/** The crops in the ground of a field on a day: the latest that was planted by then and those with it, unless they had ended. */
const standingOn = (plantings: Plantings, fieldId: string, on: DayNumber): Plantings => {
  const date = isoDate(on);
  const planted = byDate(plantings, fieldId).filter(({ data }) => data.date <= date);
  const last = planted.at(-1);
  if (last === undefined) return [];
  const from = isoDate(dayNumber(last.data.date) - TOGETHER);
  return planted.filter(({ data }) => data.date >= from && (data.endedOn === undefined || data.endedOn > date));
};

/** The crop that a field is told for on a day: the last of those in the ground. */
export const plantingOn = (plantings: Plantings, fieldId: string, on: DayNumber): Kept<PlantingRecord> | undefined =>
  standingOn(plantings, fieldId, on).at(-1);

/** That other crops stand with the one that is told for, whose windows do not spare them. Null where it stands alone. */
export const beside = (
  plantings: Plantings,
  { id, data: { crop, date } }: Kept<PlantingRecord>,
  { fieldId, on }: { readonly fieldId: string; readonly on: DayNumber },
): string | null => {
  const others = standingOn(plantings, fieldId, Math.max(on, dayNumber(date))).filter((other) => other.id !== id);
  if (others.length === 0) return null;
  const named = others.map(({ data }) => `${data.crop} of ${data.date}`).join(', ');
  return `told for ${crop} of ${date} alone, but ${named} counts as standing with it: a window here does not say that it bears the pass; look first. If it is gone, give that planting \`endedOn\``;
};

/**
 * So long at most a crop of the catalogue stands that is harvested within its year, days: a winter cereal sown in September
 * is ripe in July. Default of judgement.
 */
const MOST_STANDING = 300;

/** That a crop stands for longer than crops do: its harvest may not have been entered. Null where it does not. */
export const overdue = ({ data }: Kept<PlantingRecord>, on: DayNumber): string | null => {
  const days = on - dayNumber(data.date);
  if (days <= MOST_STANDING) return null;
  return `${data.crop} of ${data.date} counts as standing for ${days} days, which closes windows and shades weeds. If it was taken off since, give that planting \`endedOn\``;
};

/** What grows in a field on the days that are asked for. */
export type Cropping = {
  /** The crop in the ground on the day, else the next one planned within the days. */
  readonly planting: Kept<PlantingRecord> | undefined;
  /** So many days after the day have this crop: only they are told. */
  readonly days: number;
  /** Why the others are not; null where all are. */
  readonly note: string | null;
};

/**
 * The crop that a field is told for. An outlook has one: a crop that is planned for a day within those asked for must not
 * hide the one that stands there until then, so the days end where it begins.
 * @param days asked for after the day
 */
export const croppingOf = (plantings: Plantings, fieldId: string, on: DayNumber, days: number): Cropping => {
  const planned = byDate(plantings, fieldId).filter(({ data }) => {
    const day = dayNumber(data.date);
    return day > on && day <= on + days;
  });
  const standing = plantingOn(plantings, fieldId, on);
  const planting = standing ?? planned[0];
  if (planting === undefined) return { planting, days, note: null };
  const next = planned.find(({ id, data }) => id !== planting.id && data.date > planting.data.date);
  const ends = [planting.data.endedOn, next?.data.date].flatMap((date) => (date === undefined ? [] : dayNumber(date)));
  const end = Math.min(...ends);
  if (end > on + days) return { planting, days, note: null };
  const then = next !== undefined && dayNumber(next.data.date) === end ? `${next.data.crop} is to be sown` : 'it ends';
  return {
    planting,
    days: end - 1 - on,
    note: `told for ${planting.data.crop} until ${isoDate(end - 1)}: on ${isoDate(end)} ${then}; ask for that day to have it and those after it`,
  };
};
