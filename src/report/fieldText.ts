import type { Flush } from '../core/outlook/schema.ts';
import type { TomorrowAnswer } from '../service/schema.ts';
import { bandText, dateText } from './dates.ts';
import { tenderText } from './reasons.ts';
import { wrapped } from './table.ts';
import { percent, shown, type Units } from './units.ts';
import { words } from './words.ts';

type Field = TomorrowAnswer['fields'][number];

/** Such as: soybean VC, 5 cm tall by evening, up since 12 May (10 to 14 May). Reasons go by the morning where that is what matters. */
export const cropText = (crop: Field['crop'], today: string, units: Units): string => {
  if (crop === null) return 'no crop in the ground';
  const { emergence, heightCm, tenderNow } = crop;
  const isUp = emergence !== null && emergence.date <= today;
  const up =
    emergence === null ? 'not up within the days known' : `up ${isUp ? 'since ' : ''}${bandText(emergence, today)}`;
  return [
    `${words(crop.crop)} ${crop.stageToday}`,
    ...(isUp ? [`${shown(heightCm, 'cm', units)} tall by evening`] : []),
    up,
    ...(tenderNow === null ? [] : [tenderText(tenderNow)]),
  ].join(', ');
};

/** How much of the year's seedlings a wave holds, with how far that is known: to the last morning of the weather. */
export const shareText = ({ shareFrac, goesOn, end }: Flush, today: string): string =>
  `${percent(shareFrac)} of the year's seedlings${goesOn ? ` by ${dateText(end.date, today)}, where the days known end` : ''}`;

/** When a wave is at white thread; a single day has the bands of both its ends. */
export const threadText = ({ whiteThreadFrom: from, whiteThreadTo: to }: Flush, today: string): string =>
  from.date === to.date
    ? `white thread ${bandText({ ...from, latest: to.latest }, today)}`
    : `white thread ${bandText(from, today)} to ${bandText(to, today)}`;

/** How large a wave is, and when it is at white thread. */
const sizeText = (flush: Flush, today: string): string => `${shareText(flush, today)}; ${threadText(flush, today)}`;

const runningText = (flush: Flush, today: string): string => {
  const peak = bandText(flush.peak, today);
  const when = flush.goesOn ? `most so far on ${peak}, its peak may still come;` : `peaked ${peak},`;
  return `Running flush: ${when} ${sizeText(flush, today)}`;
};

/** The wave that runs and the next one, a line each; a line that there is neither. */
export const flushTexts = (
  { runningFlush, nextFlush }: Pick<Field, 'runningFlush' | 'nextFlush'>,
  today: string,
): string[] => {
  if (runningFlush === null && nextFlush === null) return ['Next flush: no wave of seedlings within the days known'];
  return [
    ...(runningFlush === null ? [] : [runningText(runningFlush, today)]),
    ...(nextFlush === null
      ? []
      : [`Next flush: peaks ${bandText(nextFlush.peak, today)}, ${sizeText(nextFlush, today)}`]),
  ];
};

/** Texts that several fields share, once each, with the fields' names unless all have it. */
export const sharedTexts = (
  fields: readonly { readonly name: string; readonly texts: readonly string[] }[],
): string[] =>
  [...new Set(fields.flatMap(({ texts }) => texts))].map((text) => {
    const names = fields.filter(({ texts }) => texts.includes(text)).map(({ name }) => name);
    return names.length === fields.length ? text : `${names.join(', ')}: ${text}`;
  });

/** A heading with a list under it; nothing for an empty list. */
export const listText = (heading: string, items: readonly string[]): string[] =>
  items.length === 0 ? [] : [[heading, ...items.map((item) => wrapped('  ', item, 4))].join('\n')];
