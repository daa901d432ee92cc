import { type DayNumber, isoDate } from '../base/day.ts';
import type { WeatherDays } from '../weather/series.ts';
import { hemisphereMonthDay } from '../weeds/season.ts';

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

const isWinter = (day: DayNumber, southern: boolean): boolean => {
  const monthDay = isoDate(day).slice(5);
  const [from, end] = ['12-01', '03-01'].map((of) => hemisphereMonthDay(of, southern)) as [string, string];
  return southern ? monthDay >= from && monthDay < end : monthDay >= from || monthDay < end;
};

/** Lowest mean of so many days in a row, C, within the series; null where less than so many are of winter. */
const coldestMeanC = ({ startDay, days, tempMaxC, tempMinC }: WeatherDays, southern: boolean): number | null => {
  let ofWinter = 0;
  let sum = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < days; i++) {
    if (isWinter(startDay + i, southern)) ofWinter++;
    sum += (tempMaxC[i] + tempMinC[i]) / 2;
    if (i >= WINTER_DAYS) sum -= (tempMaxC[i - WINTER_DAYS] + tempMinC[i - WINTER_DAYS]) / 2;
    if (i >= WINTER_DAYS - 1) least = Math.min(least, sum / WINTER_DAYS);
  }
  return ofWinter < WINTER_DAYS ? null : least;
};

/** Whether the winter is too mild to keep seeds waiting for spring: by the weather, and by latitude where it holds no winter. */
export const isMildWinter = (weather: WeatherDays, latitudeDeg: number): boolean => {
  const coldestC = coldestMeanC(weather, latitudeDeg < 0);
  return coldestC === null ? Math.abs(latitudeDeg) < MILD_WINTER_DEG : coldestC > MILD_WINTER_C;
};
