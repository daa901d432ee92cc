import { DateTime } from 'luxon';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';

/** Invented weather, one rule for every source: a test knows what each day has to be. */
export const weatherOf = (date: string) => {
  const day = dayNumber(date);
  return { maxC: 20 + (day % 7), minC: 8 + (day % 5), rainMm: day % 4 === 0 ? 6 : 0, solarMjPerM2: 15 + (day % 3) };
};

export const datesBetween = (from: string, to: string): string[] =>
  Array.from({ length: Math.max(0, dayNumber(to) - dayNumber(from) + 1) }, (_, i) => isoDate(dayNumber(from) + i));

const iso = (time: DateTime): string => time.toUTC().toFormat("yyyy-MM-dd'T'HH:mm:ss'+00:00'");

/** The cell of a place, as /points gives it. */
export const pointsBody = () => ({
  properties: {
    gridId: 'DMX',
    gridX: 73,
    gridY: 49,
    forecastGridData: 'https://api.weather.gov/gridpoints/DMX/73,49',
    timeZone: 'America/Chicago',
  },
});

const GRID_DAYS = 8;
/** How far ahead the forecast tells amounts of rain; temperatures go further. */
const RAIN_DAYS = 5;

/** A gridpoint forecast issued at an instant: daytime maxima of 13 h, night minima of 14 h, rain in 6-h sums. */
export const gridBody = (nowMs: number, zone = 'America/Chicago') => {
  const midnight = DateTime.fromMillis(nowMs, { zone }).startOf('day');
  const days = Array.from({ length: GRID_DAYS }, (_, i) => midnight.plus({ days: i }));
  const dateOf = (day: DateTime) => day.toFormat('yyyy-MM-dd');
  const rain = days.slice(0, RAIN_DAYS).flatMap((day) => {
    const hours = day.plus({ days: 1 }).diff(day, 'hours').hours;
    const parts = [6, 12, 18].map((hour) => day.set({ hour }));
    const edges = [day, ...parts, day.plus({ days: 1 })];
    return edges.slice(0, -1).map((start, i) => {
      const length = (edges[i + 1] as DateTime).diff(start, 'hours').hours;
      return { validTime: `${iso(start)}/PT${length}H`, value: (weatherOf(dateOf(day)).rainMm * length) / hours };
    });
  });
  const hourly = (value: number) =>
    days.map((day) => ({ validTime: `${iso(day)}/${day.plus({ days: 1 }).diff(day, 'hours').toISO()}`, value }));
  return {
    type: 'Feature',
    properties: {
      updateTime: iso(DateTime.fromMillis(nowMs)),
      validTimes: `${iso(midnight)}/P7DT13H`,
      elevation: { unitCode: 'wmoUnit:m', value: 290 },
      maxTemperature: {
        uom: 'wmoUnit:degC',
        values: days.map((day) => ({
          validTime: `${iso(day.set({ hour: 7 }))}/PT13H`,
          value: weatherOf(dateOf(day)).maxC as number | null,
        })),
      },
      minTemperature: {
        uom: 'wmoUnit:degC',
        values: days.map((day) => ({
          validTime: `${iso(day.minus({ days: 1 }).set({ hour: 19 }))}/PT14H`,
          value: weatherOf(dateOf(day)).minC as number | null,
        })),
      },
      quantitativePrecipitation: { uom: 'wmoUnit:mm', values: rain },
      relativeHumidity: { uom: 'wmoUnit:percent', values: hourly(60) },
      windSpeed: { uom: 'wmoUnit:km_h-1', values: hourly(18) },
      heatIndex: { values: [] },
    },
  };
};

/** A daily reply of Open-Meteo, forecast or archive. */
export const openMeteoBody = (
  dates: readonly string[],
  place: { latitude: number; longitude: number; timezone: string },
) => ({
  latitude: place.latitude + 0.03,
  longitude: place.longitude - 0.02,
  generationtime_ms: 0.2,
  utc_offset_seconds: -18000,
  timezone: place.timezone,
  timezone_abbreviation: 'CDT',
  elevation: 290,
  daily_units: {
    time: 'iso8601',
    temperature_2m_max: '°C',
    temperature_2m_min: '°C',
    precipitation_sum: 'mm',
    shortwave_radiation_sum: 'MJ/m²',
  },
  daily: {
    time: [...dates],
    temperature_2m_max: dates.map((date) => weatherOf(date).maxC as number | null),
    temperature_2m_min: dates.map((date) => weatherOf(date).minC as number | null),
    precipitation_sum: dates.map((date) => weatherOf(date).rainMm as number | null),
    shortwave_radiation_sum: dates.map((date) => weatherOf(date).solarMjPerM2 as number | null),
  },
});

/** A daily reply of NASA POWER for one point. */
export const powerBody = (dates: readonly string[], place: { latitude: number; longitude: number }) => {
  const column = (value: (date: string) => number) =>
    Object.fromEntries(dates.map((date) => [date.replaceAll('-', ''), value(date)]));
  return {
    type: 'Feature',
    geometry: { type: 'Point', coordinates: [place.longitude, place.latitude, 290.1] },
    properties: {
      parameter: {
        T2M_MAX: column((date) => weatherOf(date).maxC),
        T2M_MIN: column((date) => weatherOf(date).minC),
        PRECTOTCORR: column((date) => weatherOf(date).rainMm),
        ALLSKY_SFC_SW_DWN: column((date) => weatherOf(date).solarMjPerM2),
      },
    },
    header: { title: 'NASA/POWER Source Native Resolution Daily Data', fill_value: -999, time_standard: 'LST' },
    parameters: {
      T2M_MAX: { units: 'C', longname: 'Temperature at 2 Meters Maximum' },
      T2M_MIN: { units: 'C', longname: 'Temperature at 2 Meters Minimum' },
      PRECTOTCORR: { units: 'mm/day', longname: 'Precipitation Corrected' },
      ALLSKY_SFC_SW_DWN: { units: 'MJ/m^2/day', longname: 'All Sky Surface Shortwave Downward Irradiance' },
    },
    messages: [],
  };
};

export type NceiRow = Record<string, string>;
/** Daily summaries of one station: numbers as text, flags beside them. */
export const nceiBody = (dates: readonly string[], station: string): NceiRow[] =>
  dates.map((date) => ({
    DATE: date,
    STATION: station,
    TMAX: weatherOf(date).maxC.toFixed(1),
    TMAX_ATTRIBUTES: ',,7,0700',
    TMIN: weatherOf(date).minC.toFixed(1),
    TMIN_ATTRIBUTES: ',,7,0700',
    PRCP: weatherOf(date).rainMm.toFixed(1),
    PRCP_ATTRIBUTES: ',,7,0700',
  }));
