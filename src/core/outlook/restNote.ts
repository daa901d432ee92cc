import { isoDate } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import type { FieldCrop } from '../windows/input.ts';
import type { Outlook } from './schema.ts';

/** That an autumn crop is taken to have left its winter rest by the date, short of cold: its stages are less certain. */
export const restNote = ({ crop, days }: FieldCrop): Outlook['notes'] => {
  const { winterRest } = crop;
  if (winterRest === undefined || days.restEndedByDate === null) return [];
  const { coldDays, coldTempC } = winterRest;
  return [
    {
      code: 'rest-ended-by-date',
      text: `The winter rest of ${crop.id.replaceAll('-', ' ')} is taken to end on ${isoDate(days.restEndedByDate)} with the longer days, not by cold: until it grew on it had fewer than ${coldDays} days at a mean of ${rounded(coldTempC, 1)} C (${rounded(1.8 * coldTempC + 32, 1)} F) or less. Its stages from then on are less certain: look at the crop before you go by them.`,
    },
  ];
};
