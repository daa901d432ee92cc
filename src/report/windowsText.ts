import { PASS_TODAY } from '../core/outlook/passNotes.ts';
import { SOWING_DAY } from '../core/outlook/sowingNote.ts';
import type { BestPass } from '../core/windows/best.ts';
import type { Closed } from '../core/windows/schema.ts';
import { ALIKE_POINTS } from '../core/windows/score.ts';
import type { ShownOutlook, ShownWindowDay } from '../service/schema.ts';
import { clockText, spanText, weekdayText } from './dates.ts';
import { closedText } from './reasons.ts';
import { type Align, table, wrapped } from './table.ts';
import { littlePercent, percent, type Units } from './units.ts';
import { words } from './words.ts';

/** Share of the weed year that is expected to live on after the pass. */
export const leftFrac = ({ byStage }: Pick<ShownWindowDay, 'byStage'>): number =>
  byStage.reduce((sum, { stockFrac, kill }) => sum + stockFrac * (1 - kill.mean), 0);

/** Share of the white threads killed; null where there are none. */
export const whiteThreadKill = ({ byStage }: Pick<ShownWindowDay, 'byStage'>): number | null =>
  byStage.find(({ stage, stockFrac }) => stage === 'whiteThread' && stockFrac > 0)?.kill.mean ?? null;

/** Days in a row: an open day alone, closed days together as long as one reason holds on all of them. */
type Group = { readonly days: ShownWindowDay[]; readonly common: readonly Closed[] };

const isSame = (a: Closed, b: Closed): boolean =>
  a.reason === b.reason && a.detail === b.detail && a.crop === b.crop && a.limit === b.limit;

const has = (reasons: readonly Closed[], reason: Closed): boolean => reasons.some((one) => isSame(one, reason));

const groups = (days: readonly ShownWindowDay[]): Group[] => {
  const found: Group[] = [];
  for (const day of days) {
    const before = found.at(-1);
    const common = before?.common.filter((reason) => has(day.closed, reason)) ?? [];
    if (before === undefined || common.length === 0) found.push({ days: [day], common: day.closed });
    else found[found.length - 1] = { days: [...before.days, day], common };
  }
  return found;
};

const header = ['', 'hours', 'kill (range)', 'of white thread', 'left', 'stand lost', 'score'];
const aligns: readonly Align[] = ['left', 'left', 'left', 'right', 'right', 'right', 'right'];

const hoursText = ({ date, hours }: ShownWindowDay): string =>
  hours === null
    ? '-'
    : `${clockText(hours.from, date)} to ${clockText(hours.to, date)}${hours.until === 'heat' ? ', then heat' : ''}`;

/** Plants, and the yield of a crop that is only covered: of that there is always a little. With a companion it may be both. */
const lostText = ({ standLossFrac, coverLossFrac }: ShownWindowDay): string => {
  if (coverLossFrac === 0) return percent(standLossFrac);
  const covered = `${littlePercent(coverLossFrac)} yield`;
  return standLossFrac === 0 ? covered : `${percent(standLossFrac)}, ${covered}`;
};

const openCells = (day: ShownWindowDay): string[] => {
  const thread = whiteThreadKill(day);
  const { low, mean, high } = day.kill;
  return [
    hoursText(day),
    `${percent(mean)} (${Math.round(100 * low)} to ${Math.round(100 * high)})`,
    thread === null ? 'none there' : percent(thread),
    percent(leftFrac(day)),
    lostText(day),
    String(Math.round(day.score)),
  ];
};

type Line = { readonly title: string } | { readonly cells: string[]; readonly closed: string | null };

/** Reasons that hold on every day, then those of some days, each once with lowest and highest value. */
const closedLine = ({ days, common }: Group, units: Units): string => {
  const all = days.flatMap(({ closed }) => closed);
  const texts = (reasons: readonly Closed[]): string =>
    reasons
      .map((reason) => {
        const same = all.filter((one) => isSame(one, reason)).toSorted((a, b) => (a.given ?? 0) - (b.given ?? 0));
        return closedText(same[0] ?? reason, units, same.at(-1));
      })
      .join('; ');
  const some = all.filter((reason, i) => !has(common, reason) && !has(all.slice(0, i), reason));
  return `closed: ${texts(common)}${some.length > 0 ? `; on some of these days also ${texts(some)}` : ''}`;
};

const groupLine = (group: Group, units: Units): Line => {
  const first = group.days[0] as ShownWindowDay;
  const last = group.days.at(-1) as ShownWindowDay;
  const when =
    first === last
      ? weekdayText(first.date)
      : `${weekdayText(first.date).slice(0, 3)} ${spanText(first.date, last.date, first.date)}`;
  if (first.open) return { cells: [`    ${when}`, ...openCells(first)], closed: null };
  return { cells: [`    ${when}`], closed: closedLine(group, units) };
};

/** Open and closed days of each implement, in the order given. */
export const windowsText = (days: readonly ShownWindowDay[], units: Units): string => {
  const ids = [...new Set(days.map(({ implement }) => implement))];
  const lines = ids.flatMap((id): Line[] => [
    { title: `  ${words(id)}` },
    ...groups(days.filter(({ implement }) => implement === id)).map((group) => groupLine(group, units)),
  ]);
  const cells = lines.flatMap((line) => ('cells' in line ? [line.cells] : []));
  const texts = table([header, ...cells], aligns).split('\n');
  const indent = Math.max(...cells.map(([when = '']) => when.length)) + 2;
  const head = days.some(({ open }) => open) ? [texts[0] as string] : [];
  const turgid = days.some(({ open, hours }) => open && hours?.after === 'midday');
  let next = 1;
  return [
    ...head,
    ...lines.map((line) => {
      if ('title' in line) return line.title;
      const text = texts[next++] as string;
      return line.closed === null ? text : wrapped(text.padEnd(indent), line.closed, indent + 2);
    }),
    ...(turgid ? [wrapped('  ', 'From midday on: before it the stems of the crop are turgid and snap.', 4)] : []),
  ].join('\n');
};

/** How the score of the next day differs, true beside rows of whole points. */
const changeText = (score: number, change: number): string => {
  const points = Math.round(score + change) - Math.round(score);
  if (points === 0) return 'the same score';
  if (Math.abs(change) <= ALIKE_POINTS) return 'nearly the same score';
  return `score ${Math.abs(points)} ${points < 0 ? 'lower' : 'higher'}`;
};

/** The best pass, and what waiting a day for it would change. */
const bestText = (days: readonly ShownWindowDay[], { date, implement, score }: BestPass): string => {
  const start = `Best: ${weekdayText(date)}, ${words(implement)}, score ${Math.round(score)}.`;
  const best = days.find((day) => day.date === date && day.implement === implement);
  if (best === undefined || best.wait === null) return start;
  const { opensNextDay, scoreChange, outOfWhiteThreadFrac } = best.wait;
  const later =
    scoreChange === null ? 'rain not yet forecast' : opensNextDay ? changeText(score, scoreChange) : 'closed';
  return `${start} One day later: ${later}, ${percent(outOfWhiteThreadFrac)} of the year's seedlings out of the white thread.`;
};

/**
 * The best pass as a reader may take it. Windows of today are told as it was before a pass of today, which would be made
 * twice: then only the days after it count.
 */
export const bestLine = (outlook: Pick<ShownOutlook, 'windowDays' | 'windows' | 'best' | 'notes'>): string => {
  const { windowDays, windows, best, notes } = outlook;
  const isPassToday = notes.some(({ code }) => code === PASS_TODAY);
  const made = isPassToday ? ['A pass of today is named, and today is told as it was before.'] : [];
  const none =
    windows.length > 0
      ? "No day is best: the passes that are open save no more of this year's yield than they cost. Seed that would fall is not counted; an outlook has its dates."
      : `Nothing is open in ${isPassToday ? 'the days after it' : 'these days'}.`;
  // Said beside the best pass too, or it might be made over what was sown that day.
  const sowing = notes.filter(({ code }) => code === SOWING_DAY).map(({ text }) => text);
  return [...made, best === null ? none : bestText(windowDays, best), ...sowing].join(' ');
};
