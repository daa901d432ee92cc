import { move } from 'piscina';
import { loadCatalogue } from '../catalogue/load.ts';
import { isWhitethreadError, type Problem } from '../core/base/errors.ts';
import { type Morning, mornings, outlook } from '../core/outlook/outlook.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { DailyWeather } from '../core/weather/schema.ts';
import { csvInUnits, csvText } from '../report/csv.ts';
import { outlookRows, outlookText } from '../report/outlookText.ts';
import { tomorrowCsv } from '../report/tomorrowCsv.ts';
import { tomorrowText } from '../report/tomorrowText.ts';
import { inUsUnits } from '../report/units.ts';
import { usWeatherCsv, weatherCsv } from '../report/weatherCsv.ts';
import { fieldTomorrow, shownOutlook } from '../service/answer.ts';
import type { Credit, FieldTomorrow, OutlookForm } from '../service/contract.ts';
import { jsonOf } from '../service/json.ts';
import { type PassRow, passColumns } from '../service/passRow.ts';
import type { TomorrowAnswer } from '../service/schema.ts';
import { type TakenWeather, takenWeather, type WeatherToTake } from '../service/takenWeather.ts';
import { daysOf, type Wanted } from '../sources/live/reading.ts';
import { columnsJson, columnsJsonIn } from './columnsJson.ts';
import { creditText } from './credits.ts';
import { inOwnBuffer } from './ownBuffer.ts';
import { packed } from './packing.ts';

/** What is asked of a worker; a field as text is what came in with a request. */
export type Task =
  | (OutlookForm & {
      readonly kind: 'outlook';
      readonly field: FieldInput | string;
      /** For the bytes of JSON that is not packed. */
      readonly memory?: ArrayBuffer;
    })
  | { readonly kind: 'tomorrow'; readonly field: FieldInput }
  | { readonly kind: 'mornings'; readonly field: FieldInput; readonly dates: readonly string[] }
  | { readonly kind: 'weather'; readonly wanted: Wanted; readonly bytes: Uint8Array }
  | (WeatherToTake & { readonly kind: 'taken-weather' })
  | (Omit<OutlookForm, 'farm'> & {
      readonly kind: 'told';
      readonly what: 'tomorrow' | 'passes' | 'weather';
      readonly answer: string;
    })
  | { readonly kind: 'warmth' };

/** Errors do not keep their problems on the way between threads, so they come as an answer. */
export type Done =
  | Uint8Array
  | { readonly tomorrow: FieldTomorrow }
  | { readonly mornings: readonly Morning[] }
  | { readonly weather: DailyWeather }
  | { readonly taken: TakenWeather }
  | { readonly problems: readonly Problem[] };

const catalogue = loadCatalogue();

/** The last line has its end too: who reads a line at a time, as a shell does, would lose it. */
const ended = (text: string): string => `${text}\n`;

const outlookBytes = ({ field, format, units, farm, memory }: Extract<Task, { kind: 'outlook' }>): Uint8Array => {
  const input = typeof field === 'string' ? (jsonOf(field) as FieldInput) : field;
  const told = outlook(input, catalogue);
  const timeZone = input.site.timeZone ?? 'UTC';
  const shown = shownOutlook(told, timeZone);
  const inUnits = <T>(data: T): T => (units === 'us' ? (inUsUnits(data) as T) : data);
  if (format === 'json')
    return memory === undefined ? columnsJson(inUnits(shown)) : columnsJsonIn(memory, inUnits(shown));
  if (format === 'csv') return Buffer.from(ended(csvText(inUnits(outlookRows(shown)))));
  const { name, invented } = farm ?? { name: told.name, invented: false };
  const head = { name, invented, timeZone, today: told.today, remarks: [], fields: [] };
  return Buffer.from(ended(outlookText(shown, head, units)));
};

const toldText = ({ what, answer, format, units }: Extract<Task, { kind: 'told' }>): string => {
  const whole: unknown = JSON.parse(answer);
  if (format === 'json') return JSON.stringify(units === 'us' ? inUsUnits(whole) : whole);
  if (what === 'weather') return ended((units === 'us' ? usWeatherCsv : weatherCsv)(whole as DailyWeather));
  if (what === 'passes') return ended(csvInUnits((whole as { readonly items: PassRow[] }).items, passColumns, units));
  const tomorrow = whole as TomorrowAnswer & { readonly credits: readonly Credit[] };
  if (format === 'csv') return ended(tomorrowCsv(tomorrow, units));
  return ended(tomorrowText(tomorrow, units)) + creditText(tomorrow.credits);
};

const DAYS = 150;
/** A field of nobody: what it is computed for is that the engine has compiled the core before the first answer. */
const nobody: FieldInput = {
  site: { latitudeDeg: 42, longitudeDeg: -93 },
  soil: { texture: 'loam' },
  weather: {
    startDate: '2026-01-01',
    tempMaxC: Array.from({ length: DAYS }, (_, i) => (i % 9) + i / 6),
    tempMinC: Array.from({ length: DAYS }, (_, i) => (i % 7) + i / 6 - 12),
    rainMm: Array.from({ length: DAYS }, (_, i) => (i % 5 === 0 ? 6 : 0)),
  },
  today: '2026-05-20',
  planting: { crop: 'soybean', date: '2026-05-05' },
  weeds: catalogue.species.map(({ id }) => ({ species: id })),
  implements: catalogue.implements.map(({ id }) => ({ id })),
};
const WARMING_ROUNDS = 30;

/** One task. */
export const work = (task: Task): Done => {
  try {
    if (task.kind === 'warmth') {
      const asked = { kind: 'outlook', field: nobody, format: 'json', units: 'metric' } as const;
      for (let round = 1; round < WARMING_ROUNDS; round++) outlookBytes(asked);
      return outlookBytes(asked);
    }
    if (task.kind === 'weather') return { weather: daysOf(task.wanted, task.bytes) };
    if (task.kind === 'taken-weather') return { taken: takenWeather(task) };
    if (task.kind === 'outlook') return packed(outlookBytes(task), task.packing ?? null);
    if (task.kind === 'told') return Buffer.from(toldText(task));
    if (task.kind === 'mornings') return { mornings: mornings(task.field, task.dates, catalogue) };
    return { tomorrow: fieldTomorrow(task.field, outlook(task.field, catalogue)) };
  } catch (error) {
    if (isWhitethreadError(error)) return { problems: error.problems };
    throw error;
  }
};

/** Whether the bytes of its answer have memory to themselves that came with it. */
const isAlone = (task: Task): boolean => task.kind === 'outlook' && task.memory !== undefined;

/** One task on the thread of a worker; the bytes of an answer go to the other thread without being copied. */
export const workThere = (task: Task): unknown => {
  const done = work(task);
  return done instanceof Uint8Array ? move(isAlone(task) ? done : inOwnBuffer(done)) : done;
};
