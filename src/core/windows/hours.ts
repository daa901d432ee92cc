import { sixDigits } from '../base/numbers.ts';
import { vapourFromHumidityKPa } from '../soil/surface.ts';
import { saturationKPa } from '../weather/evaporation.ts';
import { airTemperatures } from '../weather/hours.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { WindowDay } from './schema.ts';
import type { Sun } from './sun.ts';

/**
 * Dew is off when the air takes up water again, and no earlier than so long after sunrise. Default: dew was seen until
 * 9:00 in Iowa in June (soil moisture campaign SMEX05), three hours after sunrise.
 */
const DEW_OFF_KPA = 0.3;
const DEW_HOURS = 2.5;
/** Tools that need dew off stop so long before sunset, when it falls again. Default of judgement. */
const DEW_BEFORE_SUNSET_H = 1;
/** Rain of so much takes the whole day, less takes its share: a daily total does not say when it fell. Default. */
const WHOLE_DAY_RAIN_MM = 10;
const MS_PER_HOUR = 3_600_000;

/** One day hour by hour on the sun's clock; written in place. */
export type Sky = {
  sun: Sun;
  readonly airC: Float64Array;
  /** Vapour pressure deficit. */
  readonly deficitKPa: Float64Array;
  dewOffHour: number;
  /** After a frost, when the air is above 0 C again. */
  thawHour: number;
  rainMm: number;
};

/** A place for `readSky` to write to, a day without light. */
export const noSky = (): Sky => ({
  sun: { noonMs: 0, riseHour: 12, setHour: 12 },
  airC: new Float64Array(24),
  deficitKPa: new Float64Array(24),
  dewOffHour: 24,
  thawHour: 24,
  rainMm: 0,
});

/** First hour from `fromHour` on whose value is above `limit`; 24 if none. */
const hourAbove = (values: Float64Array, limit: number, fromHour: number): number => {
  for (let h = Math.floor(fromHour); h < 24; h++) if (values[h] > limit) return Math.max(h, fromHour);
  return 24;
};

/**
 * Reads one day into `sky`. Vapour pressure is that of measured humidity (FAO-56 eq. 19), else of the day's lowest
 * temperature taken as dew point (FAO-56 eq. 48).
 */
export const readSky = (sky: Sky, sun: Sun, weather: WeatherDays, index: number): void => {
  const max = weather.tempMaxC[index];
  const min = weather.tempMinC[index];
  const humidity = weather.humidityFrac[index];
  const vapour = Number.isNaN(humidity) ? saturationKPa(min) : vapourFromHumidityKPa(max, min, humidity);
  const before = index > 0 ? weather.tempMaxC[index - 1] : max;
  const after = index + 1 < weather.days ? weather.tempMinC[index + 1] : min;
  airTemperatures(sky.airC, 0, before, min, max, after, Math.max(0, sun.riseHour));
  for (let h = 0; h < 24; h++) sky.deficitKPa[h] = Math.max(0, saturationKPa(sky.airC[h]) - vapour);
  sky.sun = sun;
  sky.dewOffHour = hourAbove(sky.deficitKPa, DEW_OFF_KPA, sun.riseHour + DEW_HOURS);
  sky.thawHour = min <= 0 ? hourAbove(sky.airC, 0, Math.max(0, sun.riseHour)) : sun.riseHour;
  sky.rainMm = weather.rainMm[index];
};

/** On the sun's clock. */
const NOON = 12;

type Hours = NonNullable<WindowDay['hours']>;

const instantMs = (noonMs: number, hour: number): number => Math.round(noonMs + (hour - NOON) * MS_PER_HOUR);

/** What an implement in a crop asks of the hours. */
export type HourNeeds = {
  readonly dewOff: boolean;
  readonly afternoonOnly: boolean;
  readonly mostTempC: number;
  /** From when there is no frost in the ground, for tools that stir it; 0 for others. */
  readonly groundThawHour: number;
};

/**
 * The longest stretch that can be worked: daylight, thawed, dew off, after noon for turgid crops, no hour hotter than
 * allowed. Rain takes its share of the count. Null when there is none.
 */
export const workHours = (sky: Sky, needs: HourNeeds): Hours | null => {
  const { riseHour, setHour, noonMs } = sky.sun;
  let from = riseHour;
  let after: Hours['after'] = 'light';
  const thawHour = Math.max(sky.thawHour, needs.groundThawHour);
  if (thawHour > from) {
    from = thawHour;
    after = 'thaw';
  }
  if (needs.dewOff && sky.dewOffHour > from) {
    from = sky.dewOffHour;
    after = 'dew';
  }
  if (needs.afternoonOnly && from < NOON) {
    from = NOON;
    after = 'midday';
  }
  let to = needs.dewOff ? setHour - DEW_BEFORE_SUNSET_H : setHour;
  let until: Hours['until'] = needs.dewOff ? 'dew' : 'dark';
  const hotFrom = hourAbove(sky.airC, needs.mostTempC, 0);
  if (hotFrom < to) {
    const hotTo = hotFrom + sky.airC.reduce((hours, air) => hours + (air > needs.mostTempC ? 1 : 0), 0);
    if (hotFrom - from >= to - hotTo) {
      to = hotFrom;
      until = 'heat';
    } else if (hotTo > from) {
      from = hotTo;
      after = 'heat';
    }
  }
  const count = (to - from) * Math.max(0, 1 - sky.rainMm / WHOLE_DAY_RAIN_MM);
  if (!(count > 0)) return null;
  return { fromMs: instantMs(noonMs, from), toMs: instantMs(noonMs, to), count: sixDigits(count), after, until };
};
