import { dayNumber } from '../core/base/day.ts';
import { sixDigitsOrNull } from '../core/base/numbers.ts';
import type { CropAnswer, FieldInput, Flush, Outlook } from '../core/outlook/schema.ts';
import type { WindowDay } from '../core/windows/schema.ts';
import type { FieldTomorrow } from './contract.ts';
import type { Farm } from './farm.ts';
import type { ShownOutlook, ShownWindowDay, TomorrowAnswer } from './schema.ts';
import { instantText } from './zone.ts';

const shownWindowDay = (day: WindowDay, text: (ms: number) => string): ShownWindowDay => {
  const { hours } = day;
  if (hours === null) return { ...day, hours };
  const { fromMs, toMs, ...more } = hours;
  return { ...day, hours: { from: text(fromMs), to: text(toMs), ...more } };
};

/** Instants as text; implements share their hours, so each is written once. */
const instantTexts = (timeZone: string): ((ms: number) => string) => {
  const known = new Map<number, string>();
  return (ms) => {
    const text = known.get(ms) ?? instantText(ms, timeZone);
    known.set(ms, text);
    return text;
  };
};

/** An outlook with its hours in the site's own time. */
export const shownOutlook = (outlook: Outlook, timeZone: string): ShownOutlook => {
  const text = instantTexts(timeZone);
  return { ...outlook, windowDays: outlook.windowDays.map((day) => shownWindowDay(day, text)) };
};

type Waves = Pick<Outlook, 'flushes' | 'today'>;

/**
 * The last wave that has peaked, as far as is known, and has not ended: a small one after it must not hide it. A day's
 * seedlings are known on the next morning, so one that goes on where the weather ends today is known to yesterday.
 */
export const runningFlush = ({ flushes, today }: Waves): Flush | null =>
  flushes.findLast(({ peak, end, goesOn }) => peak.date < today && (goesOn || end.date >= today)) ?? null;

/** The first wave whose peak is still ahead. */
export const nextFlush = ({ flushes, today }: Waves): Flush | null =>
  flushes.find(({ peak }) => peak.date >= today) ?? null;

type Sky = TomorrowAnswer['weather'];

/** The weather of a field's series from today to the end of the horizon, as it was given, without the tail of a conversion. */
const weatherAhead = ({ weather }: FieldInput, outlook: Outlook): Sky => {
  const start = dayNumber(weather.startDate);
  const offset = dayNumber(outlook.soil.startDate) - start;
  const dates = [...new Set(outlook.windowDays.map(({ date }) => date))];
  return dates.map((date) => {
    const i = dayNumber(date) - start;
    return {
      date,
      tempMaxC: sixDigitsOrNull(weather.tempMaxC[i]),
      tempMinC: sixDigitsOrNull(weather.tempMinC[i]),
      rainMm: sixDigitsOrNull(weather.rainMm[i]),
      origin: outlook.soil.weatherOrigin[i - offset] ?? 'climatology',
    };
  });
};

const cropNow = ({ leaf: _, ...crop }: CropAnswer): Omit<CropAnswer, 'leaf'> => crop;

/** The pass windows of one field, without the daily columns behind them, and the weather that they stand under. */
export const fieldTomorrow = (field: FieldInput, outlook: Outlook): FieldTomorrow => {
  const { name, windows, best, cautions, notes } = outlook;
  return {
    field: {
      name,
      areaHa: field.areaHa,
      crop: outlook.crop === null ? null : cropNow(outlook.crop),
      companions: outlook.companions.map(cropNow),
      runningFlush: runningFlush(outlook),
      nextFlush: nextFlush(outlook),
      windows,
      best,
      windowDays: shownOutlook(outlook, field.site.timeZone ?? 'UTC').windowDays,
      cautions,
      notes,
    },
    weather: weatherAhead(field, outlook),
  };
};

const isSameDay = (a: Sky[number], b: Sky[number] | undefined): boolean =>
  a.tempMaxC === b?.tempMaxC && a.tempMinC === b.tempMinC && a.rainMm === b.rainMm && a.origin === b.origin;

/** The pass windows of a farm. The weather shown is that of its first field; a field with another has its own. */
export const tomorrowOf = (
  farm: Omit<Farm, 'fields'>,
  fields: readonly FieldTomorrow[],
  failed: TomorrowAnswer['failed'] = [],
): TomorrowAnswer => {
  const first = fields[0]?.weather ?? [];
  const isOf = (shown: Sky, whole: Sky) =>
    shown.every((day) =>
      isSameDay(
        day,
        whole.find(({ date }) => date === day.date),
      ),
    );
  // A field is told for fewer days than another where its crop changes: of the same weather the longest is shown.
  const same = fields.map((field) => field.weather).filter((weather) => isOf(first, weather));
  const [weather = first] = same.toSorted((a, b) => b.length - a.length);
  return {
    farm: farm.name,
    invented: farm.invented,
    today: farm.today,
    timeZone: farm.timeZone,
    remarks: [...farm.remarks],
    weather,
    fields: fields.map((one) => (isOf(one.weather, weather) ? one.field : { ...one.field, weather: one.weather })),
    failed,
  };
};
