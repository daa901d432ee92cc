import { type DayNumber, dayNumber, isoDate } from '../core/base/day.ts';
import { sixDigitsOrNull } from '../core/base/numbers.ts';
import { SEEDBED_IMPLEMENT } from '../core/outlook/catalogue.ts';
import type { Morning } from '../core/outlook/outlook.ts';
import type { neededColumns } from '../core/weather/columns.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import type { Kept } from './allRecords.ts';
import { grouped } from './grouped.ts';
import type { FieldState } from './passStates.ts';
import type { CountRecord, CrewRecord, FieldRecord, MachineRecord, PassRecord } from './records/schema.ts';
import { isWith, SEEDBED } from './references.ts';

/** One pass as a certifier reads it. What is not known is null. */
export type PassRow = {
  readonly date: string;
  readonly field: string;
  readonly areaHa: number | null;
  readonly operation: string;
  readonly implement: string;
  readonly operator: string | null;
  readonly depthCm: number | null;
  readonly crop: string | null;
  readonly cropStage: string | null;
  readonly tempMaxC: number | null;
  readonly tempMinC: number | null;
  readonly rainMm: number | null;
  /** What lived of each species by stage, as the model has it. */
  readonly weedsExpected: string | null;
  /** Counts from three days before to three days after, by date. */
  readonly weedsCounted: string | null;
  readonly note: string | null;
  /** Why weather, stage and weeds are empty or stand on less than the weather of the field, where they do. */
  readonly unknown: string | null;
};

/** Its columns, in the order of a printed record. */
export const passColumns = [
  'date',
  'field',
  'areaHa',
  'operation',
  'implement',
  'operator',
  'depthCm',
  'crop',
  'cropStage',
  'tempMaxC',
  'tempMinC',
  'rainMm',
  'weedsExpected',
  'weedsCounted',
  'note',
  'unknown',
] as const satisfies readonly (keyof PassRow)[];

/** Counts so many days off belong to a pass. */
const COUNTED_WITHIN_DAYS = 3;

/** Counts by field and day. */
type Counts = ReadonlyMap<string, readonly Kept<CountRecord>[]>;

const countName = (fieldId: string, date: string): string => `${fieldId} ${date}`;

/** Counts as rows look them up. */
export const countsByDay = (counts: readonly Kept<CountRecord>[]): Counts =>
  grouped(counts, ({ data }) => countName(data.fieldId, data.date));

/** What rows are made from besides the state of the field. */
export type Known = {
  readonly fields: ReadonlyMap<string, Kept<FieldRecord>>;
  readonly machines: ReadonlyMap<string, Kept<MachineRecord>>;
  readonly crews: ReadonlyMap<string, Kept<CrewRecord>>;
  readonly counts: Counts;
  /** The crops that were in a field, as its plantings say. */
  readonly cropsOn: (fieldId: string, day: DayNumber) => readonly string[];
};

const countedText = (counts: Counts, fieldId: string, day: DayNumber): string | null => {
  const near = Array.from({ length: 2 * COUNTED_WITHIN_DAYS + 1 }, (_, i) => {
    const date = isoDate(day - COUNTED_WITHIN_DAYS + i);
    return counts.get(countName(fieldId, date)) ?? [];
  }).flat();
  return near.length === 0
    ? null
    : near
        .map(({ data }) => `${data.date} ${data.species} ${data.perM2}/m2${data.stage ? ` ${data.stage}` : ''}`)
        .join('; ');
};

/** Less of a year's seedlings is not worth a certifier's line. */
const LEAST_FRAC = 0.005;

/** What stood in the field that morning, as shares of each species' seedlings of the year; 'none' where nothing did. */
const expectedText = ({ weeds }: Morning): string => {
  const living = weeds.flatMap(({ species, stock }) => {
    const stages = stock.filter(({ stockFrac }) => stockFrac >= LEAST_FRAC);
    const text = stages.map(({ stage, stockFrac }) => `${stage} ${(100 * stockFrac).toFixed(1)} %`).join(', ');
    return text === '' ? [] : [`${species}: ${text}`];
  });
  return living.length === 0 ? 'none' : living.join('; ');
};

/**
 * The machine's own name with the implement that the pass was made with, once where they are the same; of a machine that
 * is another tool by now, the implement alone.
 */
const toolText = ({ machineId, implement }: PassRecord, { machines }: Known): string => {
  const machine = machines.get(machineId ?? '')?.data;
  if (machine === undefined || !isWith(machine, implement)) return implement;
  const isKind = machine.name.toLowerCase().replaceAll(' ', '-') === implement;
  return isKind ? machine.name : `${machine.name} (${implement})`;
};

/** Whether a pass made the seedbed, whichever of its two names it has. */
const isSeedbed = ({ implement }: PassRecord): boolean => implement === SEEDBED || implement === SEEDBED_IMPLEMENT;

/** Of several texts each; null of none. */
const eachOf = (texts: readonly string[]): string | null => (texts.length === 0 ? null : texts.join('; '));

/** What of a day's weather was not observed; a morning that rests on it stands on what is forecast or usual. */
const unobserved = (weather: DailyWeather, i: number): string[] => {
  const isForecast = dayNumber(weather.startDate) + i >= dayNumber(weather.forecastFrom ?? '9999-12-31');
  const isMissing = (...names: readonly (typeof neededColumns)[number][]): boolean =>
    names.some((name) => (weather[name][i] ?? null) === null);
  return [
    ...(isForecast ? ['the weather of the day is forecast, not observed'] : []),
    ...(isMissing('tempMaxC', 'tempMinC') ? ['the temperature of the day is not known'] : []),
    ...(isMissing('rainMm') ? ['the rain of the day is not known'] : []),
  ];
};

/** One row; what the state does not tell stays empty and says why. */
export const passRow = (pass: PassRecord, known: Known, { weather, morning, unknown }: FieldState): PassRow => {
  const field = known.fields.get(pass.fieldId);
  const day = dayNumber(pass.date);
  const i = weather === null ? -1 : day - dayNumber(weather.startDate);
  return {
    date: pass.date,
    field: field?.data.name ?? `removed field ${pass.fieldId}`,
    areaHa: field?.data.areaHa ?? null,
    operation: isSeedbed(pass) ? 'seedbed cultivation' : 'weed control',
    implement: toolText(pass, known),
    operator: known.crews.get(pass.crewId ?? '')?.data.name ?? null,
    depthCm: pass.depthCm ?? null,
    crop: eachOf(morning?.crops.map(({ crop }) => crop) ?? known.cropsOn(pass.fieldId, day)),
    cropStage: eachOf(morning?.crops.map(({ stageToday }) => stageToday) ?? []),
    tempMaxC: sixDigitsOrNull(weather?.tempMaxC[i]),
    tempMinC: sixDigitsOrNull(weather?.tempMinC[i]),
    rainMm: sixDigitsOrNull(weather?.rainMm[i]),
    weedsExpected: morning === null ? null : expectedText(morning),
    weedsCounted: countedText(known.counts, pass.fieldId, day),
    note: pass.note ?? null,
    unknown: eachOf([...unknown, ...(weather === null ? [] : unobserved(weather, i))]),
  };
};
