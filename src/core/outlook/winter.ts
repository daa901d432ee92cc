import { firstOn, hemisphereMonthDay, latestOn } from '../base/season.ts';
import type { WeatherDays } from '../weather/series.ts';

/** So many days of a series tell how cold a winter is. Default of judgement: about the coldest month. */
const WINTER_DAYS = 30;

/**
 * Where the coldest thirty days in a row have a mean above this, seeds may not wait for spring. Default of judgement: grass
 * grows on at it, and the places that the dates of weeds come from have colder winters.
 */
const MILD_WINTER_C = 5;

/**
 * Where the weather holds no winter only the latitude is left to go by. Default of judgement: two degrees beyond the
 * evidence; at 37 the plains of North America still freeze, while crops of southern Australia and the Cape grow through
 * the winter.
 */
const MILD_WINTER_DEG = 37;

/** How many days of a series lie in a winter, which the year turns in where it is north. */
const winterDays = ({ startDay, days }: WeatherDays, southern: boolean): number => {
  const [begins, ends] = ['12-01', '03-01'].map((of) => hemisphereMonthDay(of, southern)) as [string, string];
  let count = 0;
  for (let from = latestOn(begins, startDay); from < startDay + days; from = firstOn(begins, from + 1)) {
    const to = firstOn(ends, from);
    count += Math.max(0, Math.min(to, startDay + days) - Math.max(from, startDay));
  }
  return count;
};

/** Lowest mean of so many days in a row, C, within the series; null where less than so many are of winter. */
const coldestMeanC = (weather: WeatherDays, southern: boolean): number | null => {
  if (winterDays(weather, southern) < WINTER_DAYS) return null;
  const { days, tempMaxC, tempMinC } = weather;
  let sum = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < days; i++) {
    sum += (tempMaxC[i] + tempMinC[i]) / 2;
    if (i >= WINTER_DAYS) sum -= (tempMaxC[i - WINTER_DAYS] + tempMinC[i - WINTER_DAYS]) / 2;
    if (i >= WINTER_DAYS - 1) least = Math.min(least, sum / WINTER_DAYS);
  }
  return least;
};

/** Whether the winter is too mild to keep seeds waiting for spring: by the weather, and by latitude where it holds no winter. */
export const isMildWinter = (weather: WeatherDays, latitudeDeg: number): boolean => {
  const coldestC = coldestMeanC(weather, latitudeDeg < 0);
  return coldestC === null ? Math.abs(latitudeDeg) < MILD_WINTER_DEG : coldestC > MILD_WINTER_C;
};
