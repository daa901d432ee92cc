import type { FieldCrop, WindowInput } from './input.ts';
import { standLossFrac } from './tolerance.ts';

/** Passes of an implement in a crop before a day. One on the day of sowing was made before it. */
export const passesMade = (
  { passes, weather }: WindowInput,
  crop: FieldCrop,
  implement: string,
  index: number,
): number => {
  const day = weather.startDay + index;
  let made = 0;
  for (const pass of passes)
    if (pass.implement.id === implement && pass.day > crop.days.plantedDay && pass.day < day) made++;
  return made;
};

/** Share of a crop's stand that the passes before a day cost; one on the day of sowing was made before it. */
export const standLostBefore = ({ passes, weather }: WindowInput, crop: FieldCrop, index: number): number => {
  let left = 1;
  for (const { implement, day } of passes) {
    const at = day - weather.startDay;
    if (at >= 0 && at < index && day > crop.days.plantedDay)
      left *= 1 - standLossFrac(crop.crop, implement, crop.days.leaf[at]);
  }
  return 1 - left;
};
