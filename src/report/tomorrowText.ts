import { problemText } from '../core/base/errors.ts';
import type { TomorrowAnswer } from '../service/schema.ts';
import { longDateText, weekdayText } from './dates.ts';
import { cropText, flushTexts, listText, sharedTexts } from './fieldText.ts';
import { legend } from './legend.ts';
import { type Align, table, wrapped } from './table.ts';
import { shown, type Units } from './units.ts';
import { bestLine, windowsText } from './windowsText.ts';

type Field = TomorrowAnswer['fields'][number];

const INVENTED = 'This farm and its weather are invented: a demonstration, not a forecast for any place.';

export const headText = (answer: Pick<TomorrowAnswer, 'farm' | 'invented' | 'today' | 'timeZone'>): string =>
  [
    ...(answer.invented ? [INVENTED] : []),
    `${answer.farm}, ${longDateText(answer.today)}; hours of ${answer.timeZone}`,
  ].join('\n');

/** Columns of days that fit the page, whatever they are from: more go below. */
const MOST_DAYS = 7;

const weatherTable = (days: TomorrowAnswer['weather'], units: Units): string =>
  Array.from({ length: Math.ceil(days.length / MOST_DAYS) }, (_, block) =>
    weatherBlock(days.slice(block * MOST_DAYS, (block + 1) * MOST_DAYS), units),
  ).join('\n');

const weatherBlock = (weather: TomorrowAnswer['weather'], units: Units): string => {
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
  const crops = [field.crop, ...field.companions].map((crop) => cropText(crop, today, units));
  return [
    wrapped('', `${field.name}${area}: ${crops.join('; with ')}`, 2),
    ...flushTexts(field, today).map((text) => wrapped('  ', text, 4)),
    ...(field.weather === undefined ? [] : [weatherTable(field.weather, units)]),
    windowsText(field.windowDays, units),
    wrapped('  ', bestLine(field), 4),
  ].join('\n');
};

/** The pass windows of a farm, in at most 100 columns. */
export const tomorrowText = (answer: TomorrowAnswer, units: Units): string => {
  const { failed, fields, remarks, today, weather } = answer;
  const texts = (pick: (field: Field) => readonly { readonly text: string }[]) =>
    sharedTexts(fields.map((field) => ({ name: field.name, texts: pick(field).map(({ text }) => text) })));
  return [
    headText(answer),
    ...listText('Taken as given', remarks),
    ...(weather.length > 0 ? [weatherTable(weather, units)] : []),
    ...fields.map((field) => fieldText(field, today, units)),
    ...listText(
      'No answer',
      failed.map(({ name, problems }) => `${name}: ${problems.map(problemText).join('; ')}`),
    ),
    ...(fields.length > 0 ? [wrapped('', legend(fields.flatMap(({ windowDays }) => windowDays)), 0)] : []),
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
