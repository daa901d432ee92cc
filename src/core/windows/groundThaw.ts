import type { SoilDays } from '../soil/days.ts';

const HOURS = 24;

/**
 * From which hour of the day, on the sun's clock, a tool finds no frost in the top 5 cm: after the frost of a night the first
 * hour from which they stay above 0 C until they are warmest.
 * @returns 0 on a day without frost, 24 where it stays
 */
export const groundThawHour = ({ frozen, seedZoneTempC }: SoilDays, index: number): number => {
  if (frozen[index] === 0) return 0;
  const day = seedZoneTempC.subarray(HOURS * index, HOURS * (index + 1));
  const warmest = day.reduce((best, tempC, hour) => (tempC > day[best] ? hour : best), 0);
  if (day[warmest] <= 0) return HOURS;
  let hour = warmest;
  while (hour > 0 && day[hour - 1] > 0) hour--;
  return hour;
};
