import type { Closed, ClosedReason } from '../core/windows/schema.ts';
import { depthText, shown, type Units } from './units.ts';
import { words } from './words.ts';

/** A reason in words: numbers with their unit, and what the crop is called. */
type Words = {
  readonly given: string;
  readonly limit: string;
  /** The layer, stage or side meant; empty where the reason needs none. */
  readonly detail: string;
  readonly crop: string;
};

/** Of two numbers in a row, one unit is enough. */
const bare = (number: string): string => number.replace(/^(-?[\d.]+) \S+$/, '$1');
const water = (given: string): string => given.replace(/ m3\/m3$/, '');

/** A stage at which a crop is easily broken. @example tenderText('hook') // 'in the hook' */
export const tenderText = (stage: string): string =>
  /^(hook|crook)$/.test(stage) ? `in the ${stage}` : `tender: ${stage}`;

/** A sentence without capital or full stop for each reason; the value met, then the limit. */
const sentences: Readonly<Record<ClosedReason, (words: Words) => string>> = {
  'soil-too-wet': ({ given, limit, detail }) => `soil too wet at ${detail}: ${water(given)} against ${limit}`,
  'surface-too-wet': ({ given, limit, detail }) =>
    `surface too wet to crumble at ${detail}: ${water(given)} against ${limit}`,
  'soil-frozen': ({ given, limit }) => `soil frozen: lowest ${given} at 5 cm, needs above ${limit}`,
  'snow-lies': ({ given, limit }) => `snow lies: ${given} of water, limit ${limit}`,
  'rain-that-day': ({ given, limit }) => `rain ${given} that day, limit ${limit}`,
  'rain-next-day': ({ given, limit }) => `rain ${given} next day, limit ${limit}`,
  'rain-unknown': ({ detail }) => `rain of ${detail} not yet forecast`,
  'too-cold': ({ given, limit }) => `too cold: highest ${given}, needs ${limit}`,
  'too-hot': ({ given, limit }) => `too hot: highest ${given}, limit ${limit}`,
  'too-windy': ({ given, limit }) => `too windy: ${given}, limit ${limit}`,
  'no-hours': ({ given, limit }) => `too few hours between dew, dark and rain: ${given}, needs ${limit}`,
  'no-weeds-in-reach': ({ given, limit }) => `too few weeds in reach: ${given} of the year's seedlings, needs ${limit}`,
  'nothing-at-white-thread': ({ given, limit }) =>
    `nothing at white thread: ${given} of the year's seedlings there or at cotyledons, needs ${limit}`,
  'no-height-gap': ({ given, limit }) =>
    given.startsWith('-')
      ? `the tallest weeds stand ${given.slice(1)} below the crop, needs ${limit} above it`
      : `weeds stand ${given} above the crop, needs ${limit}`,
  'crop-tender': ({ crop, detail }) => `${crop} ${tenderText(detail)}`,
  'crop-stage': ({ crop, given, limit, detail }) => `${crop} ${detail}: ${given}, limit ${limit}`,
  'crop-too-short': ({ crop, given, limit }) => `${crop} too short in the morning: ${given}, needs ${limit}`,
  'crop-too-tall': ({ crop, given, limit }) => `${crop} too tall: ${given}, limit ${limit}`,
  'crop-not-listed': ({ crop, detail }) => `not a tool for ${crop} ${detail}`.trimEnd(),
  'no-crop': () => 'no crop in the ground',
  'no-rows': ({ crop, detail }) => `no rows to steer by${detail === '' ? '' : `, ${crop} ${detail}`}`,
  'rows-too-narrow': ({ crop, given, limit }) => `${crop} rows too narrow: ${given}, needs ${limit}`,
  'shoot-tip-near': ({ crop, given, limit, detail }) =>
    detail === ''
      ? `${crop} shoot tip ${given} below the surface, needs ${limit}`
      : `${crop} near the surface: ${given} of the heat to emergence, limit ${limit}`,
  'seed-too-shallow': ({ crop, given, limit }) => `${crop} seed lies too shallow: ${given}, needs ${limit}`,
  'passes-used-up': ({ crop, given, limit, detail }) =>
    `passes used up in ${crop} ${detail}: ${given} made, limit ${limit}`,
  'too-much-residue': ({ given, limit }) => `too much residue: ${given} of the ground, limit ${limit}`,
  'fire-risk': ({ given, limit }) => `dry residue may burn: on ${given} of the ground, limit ${limit}`,
};

/** Shares under this are told with a decimal. */
const SMALL_SHARE = 0.05;
const MOST_MORE_DIGITS = 6;

/**
 * Why a window is closed, for people.
 * @param last the same reason on another of several days: values that differ are given as from and to
 * @example closedText({ reason: 'rain-next-day', given: 8, limit: 2.5, unit: 'mm' }, 'metric')
 * // 'rain 8 mm next day, limit 2.5 mm'
 */
export const closedText = (closed: Closed, units: Units, last: Closed = closed): string => {
  const text = (value: number | null, digits: number): string =>
    value === null ? 'unknown' : shown(value, closed.unit, units, digits);
  // 0.28 against 0.28, or 0 % against 1 % for 0.4 against 0.5, explains nothing: then more digits.
  const isHidden = (digits: number): boolean =>
    [closed, last].some(({ given, limit }) => given !== limit && text(given, digits) === text(limit, digits));
  let digits = closed.unit === '1' && closed.limit !== null && closed.limit < SMALL_SHARE ? 1 : 0;
  while (digits < MOST_MORE_DIGITS && isHidden(digits)) digits++;
  const number = (value: number | null): string => text(value, digits);
  const [from, to] = [number(closed.given), number(last.given)];
  const sentence = sentences[closed.reason]({
    given: from === to ? from : `${bare(from)} to ${to}`,
    limit: number(closed.limit),
    detail: closed.detail ?? '',
    crop: words(closed.crop ?? 'crop'),
  });
  // Numbers are in the reader's unit already; what is left are the depths that a reason is about.
  return depthText(sentence, units);
};
