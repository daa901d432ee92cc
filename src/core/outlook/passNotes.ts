import { type DayNumber, dayNumber, isoDate } from '../base/day.ts';
import type { WeatherDays } from '../weather/series.ts';
import { SEEDBED_IMPLEMENT } from './catalogue.ts';
import type { FieldRequest, Outlook } from './schema.ts';

type Named = { readonly date: string; readonly implement: string };

/** All passes of a request by date and implement: seedbed dates are passes too. */
const named = ({ passes, seedbedDates }: FieldRequest): Named[] => [
  ...passes,
  ...seedbedDates.map((date) => ({ date, implement: SEEDBED_IMPLEMENT })),
];

/** Passes as a note lists them, by date. */
const list = (passes: readonly Named[]): string =>
  passes
    .map(({ date, implement }) => `${date} ${implement}`)
    .toSorted()
    .join(', ');

export const PASS_TODAY = 'pass-made-today';

/** That a pass of today is named, which counts from tomorrow on. */
export const passToday = (field: FieldRequest): Outlook['notes'] => {
  const made = named(field)
    .filter(({ date }) => date === field.today)
    .map(({ implement }) => implement);
  if (made.length === 0) return [];
  return [
    {
      code: PASS_TODAY,
      text: `A pass of this day is named (${made.join(', ')}): the windows of this day are told as it was before, those of the days after count it.`,
    },
  ];
};

/** Passes before the first day of the weather, of whose soil and weeds nothing is known. */
export const passesBefore = (field: FieldRequest, startDay: DayNumber): Outlook['notes'] => {
  const before = named(field).filter(({ date }) => dayNumber(date) < startDay);
  if (before.length === 0) return [];
  return [
    {
      code: 'pass-before-weather',
      text: `Named before ${isoDate(startDay)}, the first day of the weather: ${list(before)}. What that killed and stirred is not counted in this answer; correct the date, or give weather from before it.`,
    },
  ];
};

/** Passes after today: one that is being tried out, or a wrong date, and only who asks can tell which. */
export const passesAhead = (
  field: FieldRequest,
  { startDay, days }: Pick<WeatherDays, 'startDay' | 'days'>,
  today: DayNumber,
): Outlook['notes'] => {
  const end = startDay + days - 1;
  const ahead = named(field).filter(({ date }) => dayNumber(date) > today);
  const listed = (isCounted: boolean) => list(ahead.filter(({ date }) => dayNumber(date) <= end === isCounted));
  const [counted, beyond] = [listed(true), listed(false)];
  return [
    ...(counted === ''
      ? []
      : [
          {
            code: 'pass-ahead',
            text: `Named after today: ${counted}. The answer is reckoned as if that had been done, its dates of emergence and flushes too; what is not being tried out should have its date corrected or be left out.`,
          },
        ]),
    ...(beyond === ''
      ? []
      : [
          {
            code: 'pass-beyond-weather',
            text: `Named after ${isoDate(end)}, the last day of the weather: ${beyond}. That changes nothing in this answer; correct the date, or give weather up to it.`,
          },
        ]),
  ];
};
