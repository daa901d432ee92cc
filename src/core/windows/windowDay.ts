import { sixDigits } from '../base/numbers.ts';
import type { Crop } from '../crop/schema.ts';
import { type CropCost, noCost } from '../crop/standCost.ts';
import { dayOrigins } from '../weather/schema.ts';
import type { PassConditions } from '../weeds/days.ts';
import { addCropReasons } from './cropTolerance.ts';
import { groundThawHour } from './groundThaw.ts';
import { harmLeftFrac } from './harmLeft.ts';
import { type HourNeeds, type Sky, workHours } from './hours.ts';
import type { WindowInput } from './input.ts';
import { killDetail, killOf } from './killDetail.ts';
import type { KillTable } from './killTable.ts';
import type { Living } from './living.ts';
import { leafMet } from './passHistory.ts';
import { closedBy } from './reason.ts';
import type { Closed, Implement, WindowDay } from './schema.ts';
import { score } from './score.ts';
import { passCost, toleranceAt } from './tolerance.ts';
import { addWeatherReasons } from './weatherReasons.ts';
import { killsOnlyYoung, type Reach, readReach } from './weedReach.ts';
import { addSoilReasons } from './workability.ts';

/** Fewer hours do not pay for hitching up. Default of judgement. */
const LEAST_HOURS = 2;

/** No stand that could be lost. */
const noStand = { harmLeftFrac: 1, lostBeforeFrac: 0, cost: noCost, forgivenStandLossFrac: 0 };

/** What does not change from one implement and day to the next. */
export type Run = {
  readonly input: WindowInput;
  readonly tallestCm: Float64Array | null;
  readonly reach: Reach;
};

/** One day, the same for every implement. */
export type Today = {
  readonly index: number;
  readonly date: string;
  readonly sky: Sky;
  readonly living: Living;
  readonly conditions: PassConditions;
  /** Of each crop. */
  readonly lostBeforeFrac: readonly number[];
};

/** One implement on one day, its note on waiting still empty. */
export const windowDay = (run: Run, today: Today, tool: Implement, table: KillTable): WindowDay => {
  const { input, reach } = run;
  const { index, living } = today;
  const { weather } = input;
  const closed: Closed[] = [];
  addSoilReasons(closed, tool, input.soil, input.constants, index);
  addWeatherReasons(closed, tool, weather, input.residueCoverFrac, index, weather.startDay + index === input.today);
  addCropReasons(closed, tool, input, index);
  const hours = addHourReasons(closed, tool, run, today);
  readReach(reach, table, today.conditions, input.species, living);
  addReachReasons(closed, tool, run, index);

  const open = closed.length === 0;
  const alive = reach.aliveFrac;
  const controlFrac = alive > 0 ? reach.mean / alive : 0;
  const costs = open ? input.crops.map((field) => passCost(field.crop, tool, leafMet(field, index), controlFrac)) : [];
  const { byStage, bySpecies } = open ? killDetail(reach, living, input.species) : { byStage: [], bySpecies: [] };
  return {
    date: today.date,
    implement: tool.id,
    open,
    closed,
    hours,
    kill: killOf(alive, reach.low, reach.mean, reach.high),
    byStage,
    bySpecies,
    standLossFrac: sixDigits(Math.max(0, ...costs.map(({ standFrac }) => standFrac))),
    coverLossFrac: sixDigits(Math.max(0, ...costs.map(({ yieldFrac }) => yieldFrac))),
    score: open ? sixDigits(scoreOf(run, today, costs)) : 0,
    wait: null,
    weatherOrigin: dayOrigins[Math.max(weather.origin[index], weather.origin[Math.min(index + 1, weather.days - 1)])],
    hazards: tool.hazards,
  };
};

/**
 * Without a crop, by the weeds alone; with several, by the one that it costs most, and by the harm that weeds can still do to
 * any of them: a ripe crop does not end that to a young one beside it.
 */
const scoreOf = ({ input, reach }: Run, today: Today, costs: readonly CropCost[]): number => {
  const killedFrac = reach.mean;
  const harmLeft = Math.max(...input.crops.map((field) => harmLeftFrac(field.crop, leafMet(field, today.index))));
  const worths = input.crops.map((field, k) =>
    score({
      killedFrac,
      harmLeftFrac: harmLeft,
      lostBeforeFrac: today.lostBeforeFrac[k],
      cost: costs[k],
      forgivenStandLossFrac: field.crop.forgivenStandLossFrac,
    }),
  );
  return worths.length > 0 ? Math.min(...worths) : score({ killedFrac, ...noStand });
};

/** Its stems are turgid in the morning, and snap. */
const snapsInMorning = (crop: Crop, implementId: string, leaf: number): boolean =>
  leaf >= 0 && (toleranceAt(crop, implementId, leaf)?.afternoonOnly ?? false);

/**
 * The day's hours for this implement, and a reason when they are too few: frost in the ground or heat if without it there
 * were enough, else no hours.
 */
const addHourReasons = (closed: Closed[], tool: Implement, run: Run, { index, sky }: Today) => {
  const afternoonOnly = run.input.crops.some((field) => snapsInMorning(field.crop, tool.id, leafMet(field, index)));
  const { dewOff, mostTempMaxC } = tool.needs;
  const { soil } = run.input;
  const thaw = tool.loosensGroundFrac > 0 ? groundThawHour(soil, index) : 0;
  const needs = { dewOff, afternoonOnly, mostTempC: mostTempMaxC, groundThawHour: thaw };
  const hours = workHours(sky, needs);
  const count = hours?.count ?? 0;
  if (count >= LEAST_HOURS) return hours;
  const hadEnough = (change: Partial<HourNeeds>) =>
    (workHours(sky, { ...needs, ...change })?.count ?? 0) >= LEAST_HOURS;
  if (hadEnough({ groundThawHour: 0 })) closed.push(closedBy('soil-frozen', soil.temp5MinC[index], 0, 'C'));
  else if (hadEnough({ mostTempC: Number.POSITIVE_INFINITY }))
    closed.push(closedBy('too-hot', run.input.weather.tempMaxC[index], mostTempMaxC, 'C'));
  else closed.push(closedBy('no-hours', count, LEAST_HOURS, 'h'));
  return hours;
};

/** Reasons that lie in the weeds: too few in reach of the tool, or none tall enough. */
const addReachReasons = (closed: Closed[], tool: Implement, { reach, input, tallestCm }: Run, index: number): void => {
  const { leastKillFrac, leastHeightGapCm } = tool.needs;
  if (killsOnlyYoung(tool.kill) && sixDigits(reach.youngFrac) < leastKillFrac)
    closed.push(closedBy('nothing-at-white-thread', reach.youngFrac, leastKillFrac, '1'));
  else if (sixDigits(reach.mean) < leastKillFrac)
    closed.push(closedBy('no-weeds-in-reach', reach.mean, leastKillFrac, '1'));
  if (leastHeightGapCm === null || tallestCm === null) return;
  const cropCm = input.crops.reduce((most, { days }) => Math.max(most, days.heightCm[index] || 0), 0);
  const gapCm = tallestCm[index] - cropCm;
  if (gapCm < leastHeightGapCm) closed.push(closedBy('no-height-gap', gapCm, leastHeightGapCm, 'cm'));
};
