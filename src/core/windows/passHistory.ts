import type { FieldCrop, WindowInput } from './input.ts';
import { passCost } from './tolerance.ts';

/** Leaf of a crop as a pass on a day meets it: NaN until the day after sowing, since what is done on that day is done before it. */
export const leafMet = ({ days }: FieldCrop, index: number): number =>
  days.startDay + index > days.plantedDay ? days.leaf[index] : Number.NaN;

/** Passes of an implement in a crop before a day. @param fromLeaf -1 for those since sowing, 0 for those since it came up */
export const passesMade = (
  { passes, weather }: WindowInput,
  crop: FieldCrop,
  implement: string,
  index: number,
  fromLeaf: -1 | 0,
): number => {
  const day = weather.startDay + index;
  let made = 0;
  for (const pass of passes) {
    if (pass.implement.id !== implement || pass.day >= day) continue;
    // Of a crop that was sown before the weather begins no leaf is known: it counts as up.
    if ((leafMet(crop, pass.day - weather.startDay) ?? 0) >= fromLeaf) made++;
  }
  return made;
};

/** Share of a crop's stand that the passes before a day cost: of how much they killed that does not depend. */
export const standLostBefore = ({ passes, weather }: WindowInput, crop: FieldCrop, index: number): number => {
  let left = 1;
  for (const { implement, day } of passes) {
    const at = day - weather.startDay;
    if (at >= 0 && at < index) left *= 1 - passCost(crop.crop, implement, leafMet(crop, at), 0).standFrac;
  }
  return 1 - left;
};
