import type { WindowInput } from './input.ts';
import { standLossFrac } from './tolerance.ts';

/** Passes of an implement in this crop before a day. */
export const passesMade = ({ passes, crop, weather }: WindowInput, implement: string, index: number): number => {
  if (crop === null) return 0;
  const day = weather.startDay + index;
  let made = 0;
  for (const pass of passes)
    if (pass.implement.id === implement && pass.day >= crop.days.plantedDay && pass.day < day) made++;
  return made;
};

/** Share of the stand that the passes before a day cost. One on the day of sowing was made before it. */
export const standLostBefore = ({ passes, crop, weather }: WindowInput, index: number): number => {
  if (crop === null) return 0;
  let left = 1;
  for (const { implement, day } of passes) {
    const at = day - weather.startDay;
    if (at >= 0 && at < index && day > crop.days.plantedDay)
      left *= 1 - standLossFrac(crop.crop, implement, crop.days.leaf[at]);
  }
  return 1 - left;
};
