import type { Closed, ClosedReason } from '../core/windows/schema.ts';
import { depthText, shown, type Units } from './units.ts';

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

/** A sentence without capital or full stop for each reason; the value met, then the limit. */
const sentences: Readonly<Record<ClosedReason, (words: Words) => string>> = {
  'soil-too-wet': ({ given, limit, detail }) => `soil too wet at ${detail}: ${water(given)} against ${limit}`,
  'surface-too-wet': ({ given, limit, detail }) =>
    `surface too wet to crumble at ${detail}: ${water(given)} against ${limit}`,
  'soil-frozen': () => 'soil frozen',
  'snow-lies': ({ given }) => `snow lies, ${given} of water`,
  'rain-that-day': ({ given, limit }) => `rain ${given} that day, limit ${limit}`,
  'rain-next-day': ({ given, limit }) => `rain ${given} next day, limit ${limit}`,
  'too-cold': ({ given, limit }) => `too cold: highest ${given}, needs ${limit}`,
  'too-hot': ({ given, limit }) => `too hot: highest ${given}, limit ${limit}`,
  'too-windy': ({ given, limit }) => `too windy: ${given}, limit ${limit}`,
  'no-hours': () => 'no hours left between dew, dark and rain',
  'no-weeds-in-reach': ({ given, limit }) => `too few weeds in reach: ${given} of the year's seedlings, needs ${limit}`,
  'nothing-at-white-thread': () => 'nothing at white thread',
  'no-height-gap': ({ given, limit }) => `weeds stand ${given} above the crop, needs ${limit}`,
  'crop-tender': ({ crop, detail }) =>
    /^(hook|crook)$/.test(detail) ? `${crop} in the ${detail}` : `${crop} tender: ${detail}`,
  'crop-stage': ({ crop, given, limit, detail }) => `${crop} ${detail}: ${given}, limit ${limit}`,
  'crop-too-short': ({ crop, given, limit }) => `${crop} too short: ${given}, needs ${limit}`,
  'crop-too-tall': ({ crop, given, limit }) => `${crop} too tall: ${given}, limit ${limit}`,
  'crop-not-listed': ({ crop, detail }) => `not a tool for ${crop} ${detail}`.trimEnd(),
  'no-crop': () => 'no crop in the ground',
  'no-rows': ({ detail }) => `no rows to steer by${detail === '' ? '' : `, crop ${detail}`}`,
  'rows-too-narrow': ({ given, limit }) => `rows too narrow: ${given}, needs ${limit}`,
  'shoot-tip-near': ({ crop, given, limit, detail }) =>
    detail === ''
      ? `${crop} shoot tip ${given} below the surface, needs ${limit}`
      : `${crop} near the surface: ${given} of the heat to emergence, limit ${limit}`,
  'seed-too-shallow': ({ given, limit }) => `seed lies too shallow: ${given}, needs ${limit}`,
  'passes-used-up': ({ given, limit }) => `passes used up: ${given} made, limit ${limit}`,
  'too-much-residue': ({ given, limit }) => `too much residue: ${given} of the ground, limit ${limit}`,
  'fire-risk': () => 'dry residue may burn',
};

/**
 * Why a window is closed, for people.
 * @param last the same reason on the last of several days: values that moved are given as from and to
 * @example closedText({ reason: 'rain-next-day', given: 8, limit: 2.5, unit: 'mm' }, 'soybean', 'metric')
 * // 'rain 8 mm next day, limit 2.5 mm'
 */
export const closedText = (closed: Closed, crop: string, units: Units, last: Closed = closed): string => {
  const text = (value: number | null, digits = 0): string =>
    value === null ? 'unknown' : shown(value, closed.unit, units, digits);
  // 0.28 against 0.28 explains nothing: then one digit more.
  const hidden = closed.given !== closed.limit && text(closed.given) === text(closed.limit);
  const number = (value: number | null): string => text(value, hidden ? 1 : 0);
  const [from, to] = [number(closed.given), number(last.given)];
  return sentences[closed.reason]({
    given: from === to ? from : `${bare(from)} to ${to}`,
    limit: number(closed.limit),
    detail: depthText(closed.detail ?? '', units),
    crop,
  });
};
