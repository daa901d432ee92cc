import type { DayNumber } from '../base/day.ts';
import { firstOn, hemisphereMonthDay } from '../base/season.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { Crop } from './schema.ts';

/**
 * Spring growth begins with the longer days whether the cold was complete or not, MM-DD of the north; without it a crop in a mild
 * winter would stay a tuft of leaves for good. Default of judgement.
 */
const SPRING = '03-01';

/** Day of the series, as an index, on which enough cold days since sowing are full; infinity where they never are. */
const coldFull = (
  { coldDays, coldTempC }: NonNullable<Crop['winterRest']>,
  plantedDay: DayNumber,
  { startDay, days, tempMaxC, tempMinC }: WeatherDays,
): number => {
  let cold = 0;
  for (let i = Math.max(0, plantedDay - startDay); i < days; i++) {
    if ((tempMaxC[i] + tempMinC[i]) / 2 <= coldTempC) cold++;
    if (cold >= coldDays) return i;
  }
  return Number.POSITIVE_INFINITY;
};

/** First days, as indices of the series, on which a crop may grow past its resting leaf: by its cold, and by the date. */
export type RestEnd = { readonly coldIndex: number; readonly dateIndex: number };

/** When the rest of an autumn crop ends: with its cold days or with spring, whichever is first. A crop without one has none. */
export const restEnd = (crop: Crop, plantedDay: DayNumber, weather: WeatherDays, southern: boolean): RestEnd =>
  crop.winterRest === undefined
    ? { coldIndex: 0, dateIndex: 0 }
    : {
        coldIndex: coldFull(crop.winterRest, plantedDay, weather),
        dateIndex: firstOn(hemisphereMonthDay(SPRING, southern), plantedDay + 1) - weather.startDay,
      };

/** The date that ended a rest, where the crop grew past its resting leaf before its cold was full; else null. */
export const restEndedByDate = (
  crop: Crop,
  leaf: Float64Array,
  { coldIndex, dateIndex }: RestEnd,
  startDay: DayNumber,
): DayNumber | null => {
  const { winterRest } = crop;
  if (winterRest === undefined) return null;
  const past = leaf.findIndex((number, i) => i >= dateIndex && number > winterRest.leaf);
  return past >= 0 && past < coldIndex ? startDay + dateIndex : null;
};
