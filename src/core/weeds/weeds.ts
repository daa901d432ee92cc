import type { DayNumber } from '../base/day.ts';
import { firstOn, hemisphereMonthDay } from '../base/season.ts';
import type { SoilDays } from '../soil/days.ts';
import type { WeatherDays } from '../weather/series.ts';
import { type Cohorts, comeUp, endYear, germinate, grow, noCohorts, standing, strike } from './cohorts.ts';
import type { SpeciesDays, WeedDays, WeedPass } from './days.ts';
import { heatDays, hydrothermalDays, type Warmth, warmth } from './hydrothermal.ts';
import { killFrac } from './kill.ts';
import { type Species, weedStages } from './schema.ts';
import { FROST_HALF_DAYS, KILLING_FROST_C, weedYearStart } from './season.ts';
import { germinationDays } from './seedClock.ts';
import { STAGES, stageEndsCd } from './stages.ts';
import { stirredFrac } from './stir.ts';

/**
 * Share of the killed shoots of a perennial that the root replaces. Default of judgement: six removals then leave
 * 0.8^6 = a quarter, as reported for season-long mowing or tillage every three weeks (at least 75 % fewer shoots).
 */
export const REGROWTH_FRAC = 0.8;

/** What all species of a run share. Passes are in order of days. */
type Run = {
  readonly soil: SoilDays;
  readonly weather: WeatherDays;
  readonly warmth: Warmth;
  readonly passes: readonly WeedPass[];
  readonly stirred: Float64Array;
  readonly southern: boolean;
  /** Days of the series before the morning whose seedlings are told by age. */
  readonly daysToStanding: number;
};

/**
 * The weeds of one field, day by day: what has germinated, come up, been killed, and what lives at each stage. It only
 * looks back, so that a forecast may end anywhere. docs/model.md has the equations and their sources.
 * @param soil and `weather` of the same days; a year or many, beginning and ending anywhere
 * @param passes in any order; a pass acts in the morning, and several on one day one after the other
 * @param southern the species' dates are six months later
 * @param standingOn a day of the series: `standingFrac` is that of its morning; without it there is none
 */
export const weedDays = (
  soil: SoilDays,
  weather: WeatherDays,
  species: readonly Species[],
  passes: readonly WeedPass[],
  southern: boolean,
  standingOn: DayNumber = soil.startDay,
): WeedDays => {
  const inOrder = passes.filter((pass) => pass.day >= soil.startDay).sort((a, b) => a.day - b.day);
  const run: Run = {
    soil,
    weather,
    warmth: warmth(soil.seedZoneTempC),
    passes: inOrder,
    stirred: stirredFrac(weather, inOrder),
    southern,
    daysToStanding: standingOn - soil.startDay,
  };
  return { startDay: soil.startDay, days: soil.days, species: species.map((one) => speciesDays(run, one)) };
};

const emptyDays = (
  speciesId: string,
  undisturbedFrac: Float64Array,
  days: number,
  daysToStanding: number,
): SpeciesDays => ({
  speciesId,
  undisturbedFrac,
  germinatedFrac: new Float64Array(days),
  potentialFrac: new Float64Array(days),
  emergedFrac: new Float64Array(days),
  deadFrac: new Float64Array(days),
  stockFrac: weedStages.map(() => new Float64Array(days)),
  standingFrac: new Float64Array(daysToStanding),
});

/** Kill by stage, `STAGES` values for each pass. */
const killsByPass = (passes: readonly WeedPass[], species: Species): Float64Array =>
  Float64Array.from(
    passes.flatMap((pass) => weedStages.map((stage) => killFrac(pass.kill, species, stage, pass.conditions).mean)),
  );

const speciesDays = (run: Run, species: Species): SpeciesDays => {
  const { soil, weather, passes, southern } = run;
  const { germination, elongation, leaf } = species;
  const weeds = noCohorts(soil.days);
  const timeCd = hydrothermalDays(run.warmth, soil, germination);
  const undisturbed = germinationDays(germination.components, timeCd, soil.startDay, southern);
  const out = emptyDays(species.id, undisturbed, soil.days, run.daysToStanding);
  const elongationCd = heatDays(run.warmth, elongation.baseTempC, Number.POSITIVE_INFINITY);
  const kills = killsByPass(passes, species);
  const ends = stageEndsCd(species);
  const neededCd = elongation.lagCd + elongation.perCmCd * elongation.depthCm;
  const regrowth = species.lifeForm === 'perennialShoot' ? REGROWTH_FRAC : 0;
  const yearStart = hemisphereMonthDay(weedYearStart(species), southern);
  // Of a shoot the root lives on.
  const diesOfFrost = species.lifeForm !== 'winterAnnual';
  let nextYear = firstOn(yearStart, soil.startDay);
  let nextPass = 0;
  let returning = 0;

  for (let i = 0; i < soil.days; i++) {
    const day = soil.startDay + i;
    if (day === nextYear) {
      endYear(weeds, i);
      nextYear = firstOn(yearStart, day + 1);
    } else if (diesOfFrost && nextYear - day <= FROST_HALF_DAYS && i > 0 && weather.tempMinC[i - 1] <= KILLING_FROST_C)
      endYear(weeds, i);
    grow(weeds, i, ends);
    record(out, i, weeds);
    if (i === run.daysToStanding) out.standingFrac.set(standing(weeds, i));

    const stirring = 1 + (species.stirFactor - 1) * run.stirred[i];
    weeds.germinated[i] = stirring * undisturbed[i] + returning;
    returning = 0;
    for (; nextPass < passes.length && passes[nextPass].day === day; nextPass++)
      returning += regrowth * strike(weeds, i, kills, nextPass * STAGES);

    germinate(weeds, i);
    weeds.elongationCd[i + 1] = weeds.elongationCd[i] + elongationCd[i];
    comeUp(weeds, i, neededCd);
    const air = (weather.tempMaxC[i] + weather.tempMinC[i]) / 2 - leaf.baseTempC;
    weeds.leafCd[i + 1] = weeds.leafCd[i] + Math.max(0, air);
  }
  return out;
};

const record = (out: SpeciesDays, i: number, weeds: Cohorts): void => {
  out.germinatedFrac[i] = weeds.germinatedSum;
  out.potentialFrac[i] = weeds.potentialSum;
  out.emergedFrac[i] = weeds.emergedSum;
  out.deadFrac[i] = weeds.deadSum;
  for (let s = 0; s < STAGES; s++) out.stockFrac[s][i] = weeds.stock[s];
};
