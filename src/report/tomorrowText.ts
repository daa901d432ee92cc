import { rounded } from '../core/base/numbers.ts';
import type { TomorrowAnswer } from '../service/schema.ts';
import { clockText, longDateText, weekdayText } from './dates.ts';
import { cropText, flushText, listText, sharedTexts } from './fieldText.ts';
import { closedText } from './reasons.ts';
import { type Align, table, wrapped } from './table.ts';
import { shown, type Units } from './units.ts';
import { bestText, leftFrac, whiteThreadKill, windowsText, words } from './windowsText.ts';

type Field = TomorrowAnswer['fields'][number];

const INVENTED = 'This farm and its weather are invented: a demonstration, not a forecast for any place.';

export const headText = (answer: Pick<TomorrowAnswer, 'farm' | 'invented' | 'today' | 'timeZone'>): string =>
  [
    ...(answer.invented ? [INVENTED] : []),
    `${answer.farm}, ${longDateText(answer.today)}; hours of ${answer.timeZone}`,
  ].join('\n');

const weatherTable = (weather: TomorrowAnswer['weather'], units: Units): string => {
  const value = (v: number | null, unit: string): string => (v === null ? 'missing' : shown(v, unit, units));
  const rows = [
    ['weather', ...weather.map(({ date }) => weekdayText(date).slice(0, 6))],
    ['  highest', ...weather.map(({ tempMaxC }) => value(tempMaxC, 'C'))],
    ['  lowest', ...weather.map(({ tempMinC }) => value(tempMinC, 'C'))],
    ['  rain', ...weather.map(({ rainMm }) => value(rainMm, 'mm'))],
    ['  from', ...weather.map(({ origin }) => origin)],
  ];
  return table(rows, ['left', ...weather.map((): Align => 'right')]);
};

const fieldText = (field: Field, today: string, units: Units): string => {
  const area = field.areaHa === undefined ? '' : `, ${shown(field.areaHa, 'ha', units)}`;
  const best = bestText(field.windowDays);
  return [
    wrapped('', `${field.name}${area}: ${cropText(field.crop, today, units)}`, 2),
    wrapped('  Next flush: ', flushText(field.nextFlush), 4),
    windowsText(field.windowDays, words(field.crop?.crop ?? 'crop'), units),
    wrapped('  ', best ?? 'Nothing is open in these days.', 4),
  ].join('\n');
};

const LEGEND =
  'kill: share of the living weeds that the pass is expected to kill; left: share of the year’s seedlings still alive after it; stand lost: crop plants the pass costs; score: 0 to 100, ranks days and tools of one field.';

/** The pass windows of a farm, in at most 100 columns. */
export const tomorrowText = (answer: TomorrowAnswer, units: Units): string => {
  const { fields, remarks, today, weather } = answer;
  const texts = (pick: (field: Field) => readonly { readonly text: string }[]) =>
    sharedTexts(fields.map((field) => ({ name: field.name, texts: pick(field).map(({ text }) => text) })));
  return [
    headText(answer),
    ...listText('Taken as given', remarks),
    ...(weather.length > 0 ? [weatherTable(weather.slice(0, 9), units)] : []),
    ...fields.map((field) => fieldText(field, today, units)),
    wrapped('', LEGEND, 0),
    ...listText(
      'Notes',
      texts(({ notes }) => notes),
    ),
    ...listText(
      'Cautions',
      texts(({ cautions }) => cautions),
    ),
  ].join('\n\n');
};

/** One row for each field, implement and day. */
export const tomorrowRows = (
  answer: TomorrowAnswer,
  units: Units,
): Record<string, string | number | boolean | null>[] =>
  answer.fields.flatMap((field) =>
    field.windowDays.map((day) => {
      const weather = answer.weather.find(({ date }) => date === day.date);
      const thread = whiteThreadKill(day);
      return {
        field: field.name,
        date: day.date,
        implement: day.implement,
        open: day.open,
        from: day.hours === null ? null : clockText(day.hours.from),
        to: day.hours === null ? null : clockText(day.hours.to),
        hours: day.hours?.count ?? null,
        killLowFrac: rounded(day.kill.low, 3),
        killMeanFrac: rounded(day.kill.mean, 3),
        killHighFrac: rounded(day.kill.high, 3),
        whiteThreadKillFrac: thread === null ? null : rounded(thread, 3),
        leftFrac: rounded(leftFrac(day), 4),
        standLossFrac: rounded(day.standLossFrac, 3),
        score: rounded(day.score, 1),
        closed: day.closed.map(({ reason }) => reason).join(' '),
        why: day.closed.map((closed) => closedText(closed, words(field.crop?.crop ?? 'crop'), units)).join('; '),
        tempMaxC: weather?.tempMaxC ?? null,
        tempMinC: weather?.tempMinC ?? null,
        rainMm: weather?.rainMm ?? null,
        weatherOrigin: day.weatherOrigin,
      };
    }),
  );
