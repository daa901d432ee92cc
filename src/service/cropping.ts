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

/**
 * The crops in the ground of a field on a day: those planted by then that are to end later, and of those whose end is not
 * known the latest and what was sown with it.
 */
export const standingOn = (plantings: Plantings, fieldId: string, on: DayNumber): Plantings => {
  const date = isoDate(on);
  const planted = byDate(plantings, fieldId).filter(({ data }) => data.date <= date);
  const last = planted.at(-1);
  if (last === undefined) return [];
  const from = isoDate(dayNumber(last.data.date) - TOGETHER);
  return planted.filter(({ data }) => (data.endedOn === undefined ? data.date >= from : data.endedOn > date));
};

/** A planting that is over, and the day it ended, which may be that on which another took its place. */
export type Ended = { readonly planting: PlantingRecord; readonly endedOn: string };

/** The crops of a field that had ended by a day, in the order of sowing. */
export const endedBy = (plantings: Plantings, fieldId: string, on: DayNumber): Ended[] => {
  const date = isoDate(on);
  const planted = byDate(plantings, fieldId).filter(({ data }) => data.date <= date);
  return planted.flatMap(({ data: planting }) => {
    const taken = isoDate(dayNumber(planting.date) + TOGETHER);
    const endedOn = planting.endedOn ?? planted.find(({ data }) => data.date > taken)?.data.date;
    return endedOn === undefined || endedOn > date ? [] : { planting, endedOn };
  });
};

/** When each was sown, or is to be. */
export const datesOf = (plantings: Plantings): string[] => plantings.map(({ data }) => data.date);

const named = ({ data }: Kept<PlantingRecord>): string => `${data.crop} of ${data.date}`;

/** That crops count as standing together, which closes windows. Null where one stands alone. */
export const standTogether = (standing: Plantings): string | null => {
  if (standing.length < 2) return null;
  return `${standing.map(named).join(' and ')} count as standing together, and a window is open only where it spares each. If one is gone, give that planting \`endedOn\``;
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
  /** The crops in the ground on the day, else those that are planned next within the days; the last is told for first. */
  readonly plantings: Plantings;
  /** So many days after the day have these crops: only they are told. */
  readonly days: number;
  /** Why the others are not; null where all are. */
  readonly note: string | null;
};

/**
 * The crops that a field is told for. An outlook has one set of them: what is planned for a day within those asked for must
 * not hide what stands until then, so the days end where that begins, or where one of them ends.
 * @param days asked for after the day
 */
export const croppingOf = (plantings: Plantings, fieldId: string, on: DayNumber, days: number): Cropping => {
  const planned = byDate(plantings, fieldId).filter(({ data }) => {
    const day = dayNumber(data.date);
    return day > on && day <= on + days;
  });
  const standing = standingOn(plantings, fieldId, on);
  const told = standing.length > 0 ? standing : planned.filter(({ data }) => data.date === planned[0]?.data.date);
  const last = told.at(-1);
  if (last === undefined) return { plantings: told, days, note: null };
  const changes = [
    ...told.flatMap(({ data: { crop, endedOn } }) =>
      endedOn === undefined ? [] : { on: endedOn, what: `${crop} ends` },
    ),
    ...planned
      .filter(({ data }) => data.date > last.data.date)
      .map(({ data }) => ({ on: data.date, what: `${data.crop} is to be sown` })),
  ].toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
  const [change] = changes;
  if (change === undefined || dayNumber(change.on) > on + days) return { plantings: told, days, note: null };
  const end = dayNumber(change.on);
  return {
    plantings: told,
    days: end - 1 - on,
    note: `told for ${told.map(({ data }) => data.crop).join(' and ')} until ${isoDate(end - 1)}: on ${change.on} ${change.what}; ask for that day to have it and those after it`,
  };
};
