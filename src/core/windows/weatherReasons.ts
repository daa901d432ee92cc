import type { WeatherDays } from '../weather/series.ts';
import { closedBy } from './reason.ts';
import type { Closed, Implement } from './schema.ts';

/** Residue on more of the ground than this can carry a fire; rain of so much in two days damps it. Defaults of judgement. */
const FIRE_RESIDUE_FRAC = 0.1;
const DAMPING_RAIN_MM = 1;

/**
 * Adds every reason why the day's weather, or what lies on the ground, keeps a tool out. Heat takes hours first, see
 * hours.ts. Wind that is not known closes nothing, and a note of the outlook says so.
 */
export const addWeatherReasons = (
  closed: Closed[],
  { needs }: Implement,
  weather: WeatherDays,
  residueCoverFrac: number,
  index: number,
  isToday: boolean,
): void => {
  addRainReasons(closed, needs, weather, index, isToday);
  const warmest = weather.tempMaxC[index];
  if (warmest < needs.leastTempMaxC) closed.push(closedBy('too-cold', warmest, needs.leastTempMaxC, 'C'));
  const wind = weather.windMPerS[index];
  if (needs.mostWindMPerS !== null && wind > needs.mostWindMPerS)
    closed.push(closedBy('too-windy', wind, needs.mostWindMPerS, 'm/s'));
  if (residueCoverFrac > needs.mostResidueFrac)
    closed.push(closedBy('too-much-residue', residueCoverFrac, needs.mostResidueFrac, '1'));
  const lately = weather.rainMm[index] + (index > 0 ? weather.rainMm[index - 1] : 0);
  if (needs.dryResidueIsFireRisk && residueCoverFrac > FIRE_RESIDUE_FRAC && lately < DAMPING_RAIN_MM)
    closed.push(closedBy('fire-risk', residueCoverFrac, FIRE_RESIDUE_FRAC, '1'));
};

/**
 * Rain that is forecast, or that none is. What is usual then would be drizzle on every day, which closes a whole dry week or
 * none of a wet one: where nobody forecasts rain a tool that needs the next day dry waits, and no other is kept out. Of today a
 * forecast may hold the rest only, and whoever asks sees the sky.
 */
const addRainReasons = (
  closed: Closed[],
  { mostRainThatDayMm, mostRainNextDayMm }: Implement['needs'],
  { rainMm, rainFilled, days }: WeatherDays,
  index: number,
  isToday: boolean,
): void => {
  const isKnown = (i: number): boolean => i < days && rainFilled[i] === 0;
  if (isKnown(index) && rainMm[index] > mostRainThatDayMm)
    closed.push(closedBy('rain-that-day', rainMm[index], mostRainThatDayMm, 'mm'));
  if (mostRainNextDayMm === null) return;
  if (isKnown(index + 1) && rainMm[index + 1] > mostRainNextDayMm)
    closed.push(closedBy('rain-next-day', rainMm[index + 1], mostRainNextDayMm, 'mm'));
  if (!isKnown(index) && !isToday) closed.push(closedBy('rain-unknown', null, null, '', 'that day'));
  else if (!isKnown(index + 1)) closed.push(closedBy('rain-unknown', null, null, '', 'the next day'));
};
