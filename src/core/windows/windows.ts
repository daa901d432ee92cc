import { isoDate } from '../base/day.ts';
import { bestPass } from './best.ts';
import { passConditions } from './conditions.ts';
import { skiesFactor } from './drying.ts';
import { noSky, readSky } from './hours.ts';
import type { WindowInput } from './input.ts';
import { killTable } from './killTable.ts';
import { noLiving, readLiving } from './living.ts';
import { standLostBefore } from './passHistory.ts';
import type { PassWindow, WindowDay } from './schema.ts';
import { sunDays } from './sun.ts';
import { addWaits } from './wait.ts';
import { tallestWeedCm } from './weedHeight.ts';
import { harmWeights, noReach } from './weedReach.ts';
import { type Run, type Today, windowDay } from './windowDay.ts';

/**
 * Each implement on each day from `today` to `lastDay`, as far as the weather reaches: open, or closed with every reason.
 * In the order of days, then of `implements`. The state met is that of the morning; passes of the same day do not count yet.
 */
export const windowDays = (input: WindowInput): WindowDay[] => {
  const { weather, implements: tools } = input;
  const first = Math.max(0, input.today - weather.startDay);
  const last = Math.min(weather.days - 1, input.lastDay - weather.startDay);
  if (last < first) return [];
  const suns = sunDays(input.site, weather.startDay + first, last - first + 2);
  const species = input.species.map((weighted) => weighted.species);
  const weights = harmWeights(input.species);
  const tables = tools.map((tool) => killTable(tool.kill, species.length));
  const living = noLiving(species.length);
  const run: Run = {
    input,
    tallestCm: tools.some((tool) => tool.needs.leastHeightGapCm !== null)
      ? tallestWeedCm(input.weeds, species, weather)
      : null,
    reach: noReach(species.length),
  };
  let sky = noSky();
  let tomorrow = noSky();
  readSky(tomorrow, suns[0], weather, first);
  const out: WindowDay[] = [];
  for (let index = first; index <= last; index++) {
    [sky, tomorrow] = [tomorrow, sky];
    // The last day of the weather dries like the one before it.
    if (index + 1 < weather.days) readSky(tomorrow, suns[index + 1 - first], weather, index + 1);
    const next = index + 1 < weather.days ? tomorrow : sky;
    readLiving(living, input.weeds, weights, index);
    const today: Today = {
      index,
      living,
      date: isoDate(weather.startDay + index),
      sky,
      conditions: passConditions(
        weather,
        input.soil,
        input.constants,
        input.residueCoverFrac,
        index,
        skiesFactor(sky, next),
      ),
      lostBeforeFrac: input.crops.map((crop) => standLostBefore(input, crop, index)),
    };
    tools.forEach((tool, k) => {
      out.push(windowDay(run, today, tool, tables[k]));
    });
  }
  addWaits(out, tools.length, input.weeds, weights, first);
  return out;
};

/**
 * Open days in a row of each implement, in the order of their first day.
 * @param days as `windowDays` gives them
 * @param taken days on which a pass is named: told as they were before it, they are nobody's window
 */
export const passWindows = (days: readonly WindowDay[], taken: ReadonlySet<string>): PassWindow[] => {
  const runs: WindowDay[][] = [];
  const current = new Map<string, WindowDay[]>();
  for (const day of days) {
    const run = current.get(day.implement);
    if (!day.open || taken.has(day.date)) current.delete(day.implement);
    else if (run === undefined) {
      const begun = [day];
      runs.push(begun);
      current.set(day.implement, begun);
    } else run.push(day);
  }
  return runs.map((run) => {
    const best = bestPass(run);
    return {
      implement: run[0].implement,
      from: run[0].date,
      to: run[run.length - 1].date,
      bestDate: best?.date ?? null,
      bestScore: best?.score ?? 0,
    };
  });
};
