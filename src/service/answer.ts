import { dayNumber } from '../core/base/day.ts';
import type { Flush, Outlook } from '../core/outlook/schema.ts';
import type { WindowDay } from '../core/windows/schema.ts';
import type { Farm } from './farm.ts';
import type { ShownOutlook, ShownWindowDay, TomorrowAnswer } from './schema.ts';
import { instantText } from './zone.ts';

const shownWindowDay = (day: WindowDay, timeZone: string): ShownWindowDay => {
  const { hours } = day;
  if (hours === null) return { ...day, hours };
  const { fromMs, toMs, count } = hours;
  return { ...day, hours: { from: instantText(fromMs, timeZone), to: instantText(toMs, timeZone), count } };
};

/** An outlook with its hours in the site's own time. */
export const shownOutlook = (outlook: Outlook, timeZone: string): ShownOutlook => ({
  ...outlook,
  windowDays: outlook.windowDays.map((day) => shownWindowDay(day, timeZone)),
});

/** The first wave whose peak is still ahead, or else the one that is running out. */
export const nextFlush = ({ flushes, today }: Pick<Outlook, 'flushes' | 'today'>): Flush | null =>
  flushes.find(({ peak }) => peak.date >= today) ?? flushes.find(({ end }) => end.date >= today) ?? null;

/** The farm's weather from today to the end of the horizon, as the file gives it. */
const weatherAhead = (farm: Farm, [outlook]: readonly Outlook[]): TomorrowAnswer['weather'] => {
  const weather = farm.fields[0]?.weather;
  if (weather === undefined || outlook === undefined) return [];
  const offset = dayNumber(outlook.soil.startDate) - dayNumber(weather.startDate);
  const dates = [...new Set(outlook.windowDays.map(({ date }) => date))];
  return dates.map((date) => {
    const i = dayNumber(date) - dayNumber(weather.startDate);
    return {
      date,
      tempMaxC: weather.tempMaxC[i] ?? null,
      tempMinC: weather.tempMinC[i] ?? null,
      rainMm: weather.rainMm[i] ?? null,
      origin: outlook.soil.weatherOrigin[i - offset] ?? 'climatology',
    };
  });
};

/** The pass windows of every field, without the daily columns behind them. */
export const tomorrowOf = (farm: Farm, outlooks: readonly Outlook[]): TomorrowAnswer => ({
  farm: farm.name,
  invented: farm.invented,
  today: farm.today,
  timeZone: farm.timeZone,
  remarks: [...farm.remarks],
  weather: weatherAhead(farm, outlooks),
  fields: outlooks.map((outlook, i) => {
    const { name, windows, cautions, notes } = outlook;
    const { leaf: _, ...crop } = outlook.crop ?? { leaf: [] };
    return {
      name,
      areaHa: farm.fields[i]?.areaHa,
      crop: outlook.crop === null ? null : (crop as Exclude<TomorrowAnswer['fields'][number]['crop'], null>),
      nextFlush: nextFlush(outlook),
      windows,
      windowDays: shownOutlook(outlook, farm.timeZone).windowDays,
      cautions,
      notes,
    };
  }),
});
