import { expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { asOf, outlookOf, sentWeather } from './fields.ts';

const year = sentWeather('2024-01-01', 366);
const sown = { planting: { crop: 'field-corn', date: '2024-05-06' }, today: '2024-05-10' };

/** The year until ten days after a date, those ten too cold for corn to grow. */
const coldAfter = (date: string) => {
  const warm = dayNumber(date) - dayNumber(year.startDate) + 1;
  const days = Array.from({ length: warm + 10 }, (_, i) => i);
  return {
    startDate: year.startDate,
    tempMaxC: days.map((i) => (i < warm ? (year.tempMaxC[i] as number) : -15)),
    tempMinC: days.map((i) => (i < warm ? (year.tempMinC[i] as number) : -25)),
    rainMm: days.map((i) => (i < warm ? (year.rainMm[i] as number) : 0)),
  };
};

test('a stage may come after the cold that follows its date, not on a day of it', () => {
  const warm = outlookOf({ ...sown, weather: asOf(year, sown.today) }).crop?.emergence;
  const date = warm?.date as string;
  expect(dayNumber(warm?.latest as string) - dayNumber(date)).toBeLessThan(5);
  const cold = outlookOf({ ...sown, weather: asOf(coldAfter(date), sown.today) }).crop?.emergence;
  expect(cold?.date).toBe(date);
  expect(cold?.latest).toBe(isoDate(dayNumber(date) + 11));
});

test('where the days known end with the date, it may be as late as it may be early', () => {
  const { emergence } = outlookOf({ ...sown, weather: asOf(year, sown.today) }).crop ?? {};
  const end = dayNumber(emergence?.date as string) - dayNumber(year.startDate) + 1;
  const short = {
    startDate: year.startDate,
    tempMaxC: year.tempMaxC.slice(0, end),
    tempMinC: year.tempMinC.slice(0, end),
    rainMm: year.rainMm.slice(0, end),
  };
  const band = outlookOf({ ...sown, weather: asOf(short, sown.today) }).crop?.emergence;
  const [date, earliest, latest] = [band?.date, band?.earliest, band?.latest].map((one) => dayNumber(one as string));
  expect(latest).toBe(2 * (date as number) - (earliest as number));
});
