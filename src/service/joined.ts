import { type DayNumber, dayNumber, isoDate } from '../core/base/day.ts';
import { type Column, neededColumns, observedDays, optionalColumns } from '../core/weather/columns.ts';
import type { DailyWeather } from '../core/weather/schema.ts';

type Name = (typeof neededColumns)[number] | (typeof optionalColumns)[number];

const endOf = (weather: DailyWeather): DayNumber => dayNumber(weather.startDate) + weather.tempMaxC.length;

/**
 * The columns of several series laid over each other.
 * @param order the series to ask for a day, the first that knows it gives the value
 */
const overlaid = (
  series: readonly DailyWeather[],
  order: (day: DayNumber) => readonly DailyWeather[],
): DailyWeather => {
  const start = Math.min(...series.map(({ startDate }) => dayNumber(startDate)));
  const end = Math.max(...series.map(endOf));
  // Sixty years of days ask for it.
  const starts = new Map(series.map((one) => [one, dayNumber(one.startDate)]));
  const column = (name: Name) =>
    Array.from({ length: end - start }, (_, i) => {
      for (const one of order(start + i)) {
        const known: Column | undefined = one[name];
        const value = known?.[start + i - (starts.get(one) ?? 0)] ?? null;
        if (value !== null) return value;
      }
      return null;
    });
  const measured = optionalColumns.filter((name) => series.some((one) => one[name]?.some((value) => value !== null)));
  return {
    startDate: isoDate(start),
    tempMaxC: column('tempMaxC'),
    tempMinC: column('tempMinC'),
    rainMm: column('rainMm'),
    ...Object.fromEntries(measured.map((name) => [name, column(name)])),
  };
};

/** The day after the last one of the observed part that holds all that is needed. */
export const knownUntil = (weather: DailyWeather): DayNumber => {
  const start = dayNumber(weather.startDate);
  for (let i = observedDays(weather) - 1; i >= 0; i--)
    if (neededColumns.every((name) => (weather[name][i] ?? null) !== null)) return start + i + 1;
  return start;
};

/**
 * What was observed and what is forecast as one series. Up to the last day that was observed an observed value stands;
 * the forecast part begins after it, and the forecast counts there.
 */
export const joined = (observed: DailyWeather, forecast: DailyWeather | null): DailyWeather => {
  const from = knownUntil(observed);
  const series = forecast === null ? [observed] : [observed, forecast];
  const weather = overlaid(series, (day) => (day < from ? series : series.toReversed()));
  return from < endOf(weather) ? { ...weather, forecastFrom: isoDate(from) } : weather;
};

/**
 * The first day of the merged series that is a forecast. What was forecast and is not sent anew stays one: a series has one
 * such day, so days that are observed after it count as forecast until those in between are sent.
 */
const forecastFromOf = (before: DailyWeather, added: DailyWeather): DayNumber => {
  const own = added.forecastFrom === undefined ? Number.POSITIVE_INFINITY : dayNumber(added.forecastFrom);
  if (before.forecastFrom === undefined) return own;
  const was = dayNumber(before.forecastFrom);
  return was < dayNumber(added.startDate) ? was : Math.min(own, Math.max(was, endOf(added)));
};

/** Days added to a series, or put in the place of those it has; days in between that neither has are null. */
export const merged = (before: DailyWeather, added: DailyWeather): DailyWeather => {
  const series = [added, before];
  const weather = overlaid(series, () => series);
  const from = forecastFromOf(before, added);
  return from < endOf(weather) ? { ...weather, forecastFrom: isoDate(from) } : weather;
};

/** The days from one to another, as far as the series has them. */
export const cut = (weather: DailyWeather, from: DayNumber, to: DayNumber): DailyWeather => {
  const start = dayNumber(weather.startDate);
  const first = Math.max(0, from - start);
  const end = Math.max(first, to + 1 - start);
  const columns = [...neededColumns, ...optionalColumns].flatMap((name) => {
    const column: Column | undefined = weather[name];
    return column === undefined ? [] : [[name, column.slice(first, end)]];
  });
  return { ...weather, startDate: isoDate(start + first), ...Object.fromEntries(columns) };
};

/** The series as it stands on a day of the past: what came after it was not known, so it counts as forecast. */
export const asKnownOn = (weather: DailyWeather, on: DayNumber): DailyWeather =>
  endOf(weather) <= on || dayNumber(weather.forecastFrom ?? '9999-12-31') <= on
    ? weather
    : { ...weather, forecastFrom: isoDate(on) };

/**
 * Days from today on cannot have been observed, whatever the file says of them. Where all of them are ahead the dates are
 * more likely wrong: that is left for the checks to say.
 */
export const asForecastFrom = (weather: DailyWeather, today: string): DailyWeather => {
  const [start, from] = [dayNumber(weather.startDate), dayNumber(today)];
  const isForecast = weather.forecastFrom === undefined && start <= from && start + weather.tempMaxC.length > from;
  return isForecast ? { ...weather, forecastFrom: today } : weather;
};
