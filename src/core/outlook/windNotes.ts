import { type DayNumber, dayNumber, isoDate } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import type { WindowInput } from '../windows/input.ts';
import type { Implement, WindowDay } from '../windows/schema.ts';
import type { Outlook } from './schema.ts';

const M_PER_S_PER_MPH = 0.44704;

/** Ascending days as dates, those in a row as a span: a horizon may be long. */
const spans = (days: readonly DayNumber[]): string => {
  const rows: [DayNumber, DayNumber][] = [];
  for (const day of days) {
    const row = rows.at(-1);
    if (row !== undefined && day === row[1] + 1) row[1] = day;
    else rows.push([day, day]);
  }
  return rows.map(([from, to]) => (from === to ? isoDate(from) : `${isoDate(from)} to ${isoDate(to)}`)).join(', ');
};

const limitText = (mPerS: number): string =>
  `at most ${rounded(mPerS, 1)} m/s (${Math.round(mPerS / M_PER_S_PER_MPH)} mph)`;

/** Unknown wind closes nothing, or fields without an anemometer would have no flame at all: so it is said. */
export const windUnknown = (
  { weather, implements: tools }: Pick<WindowInput, 'weather' | 'implements'>,
  windowDays: readonly Pick<WindowDay, 'date' | 'implement' | 'open'>[],
): Outlook['notes'] => {
  const blown = tools.flatMap(({ id, needs: { mostWindMPerS }, hazards }) => {
    if (mostWindMPerS === null) return [];
    const days = windowDays
      .filter(({ implement, open }) => implement === id && open)
      .map(({ date }) => dayNumber(date))
      .filter((day) => Number.isNaN(weather.windMPerS[day - weather.startDay]));
    return days.length === 0 ? [] : [{ text: `${id}, ${limitText(mostWindMPerS)}, on ${spans(days)}`, hazards }];
  });
  if (blown.length === 0) return [];
  const isFlame = ({ hazards }: Pick<Implement, 'hazards'>) => hazards.includes('openFlame');
  return [
    {
      code: 'wind-unknown',
      text: `The wind is not known on days that are told open for tools with a limit of wind: ${blown.map(({ text }) => text).join('; ')}. Unknown wind closes no window: look at the wind before you ${blown.some(isFlame) ? 'light' : 'go'}.`,
    },
  ];
};
