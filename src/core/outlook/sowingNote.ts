import { isoDate } from '../base/day.ts';
import type { FieldCrop } from '../windows/input.ts';
import type { WindowDay } from '../windows/schema.ts';
import type { Outlook } from './schema.ts';

export const SOWING_DAY = 'sowing-day';

/** That the windows of the day of sowing are for what is done before it, which may be over when they are read. */
export const sowingNote = ({ crop, days }: FieldCrop, windows: readonly WindowDay[]): Outlook['notes'] => {
  const sown = isoDate(days.plantedDay);
  if (!windows.some(({ date, open }) => open && date === sown)) return [];
  return [
    {
      code: SOWING_DAY,
      text: `${crop.id.replaceAll('-', ' ')} is sown on ${sown}: windows of that day are for a pass before the seed is in the ground.`,
    },
  ];
};
