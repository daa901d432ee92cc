import type { WeatherDays } from '../weather/series.ts';
import { closedBy } from './reason.ts';
import type { Closed, Implement } from './schema.ts';

/** Residue on more of the ground than this can carry a fire; rain of so much in two days damps it. Defaults of judgement. */
const FIRE_RESIDUE_FRAC = 0.1;
const DAMPING_RAIN_MM = 1;

/**
 * Adds every reason why the day's weather, or what lies on the ground, keeps a tool out. Heat takes hours first, see
 * hours.ts. Wind that is not known, and rain beyond the last day known, close nothing, and notes of the outlook say so.
 */
export const addWeatherReasons = (
  closed: Closed[],
  { needs }: Implement,
  weather: WeatherDays,
  residueCoverFrac: number,
  index: number,
): void => {
  const rain = weather.rainMm[index];
  if (rain > needs.mostRainThatDayMm) closed.push(closedBy('rain-that-day', rain, needs.mostRainThatDayMm, 'mm'));
  const next = index + 1 < weather.days ? weather.rainMm[index + 1] : 0;
  if (needs.mostRainNextDayMm !== null && next > needs.mostRainNextDayMm)
    closed.push(closedBy('rain-next-day', next, needs.mostRainNextDayMm, 'mm'));
  const warmest = weather.tempMaxC[index];
  if (warmest < needs.leastTempMaxC) closed.push(closedBy('too-cold', warmest, needs.leastTempMaxC, 'C'));
  const wind = weather.windMPerS[index];
  if (needs.mostWindMPerS !== null && wind > needs.mostWindMPerS)
    closed.push(closedBy('too-windy', wind, needs.mostWindMPerS, 'm/s'));
  if (residueCoverFrac > needs.mostResidueFrac)
    closed.push(closedBy('too-much-residue', residueCoverFrac, needs.mostResidueFrac, '1'));
  const lately = rain + (index > 0 ? weather.rainMm[index - 1] : 0);
  if (needs.dryResidueIsFireRisk && residueCoverFrac > FIRE_RESIDUE_FRAC && lately < DAMPING_RAIN_MM)
    closed.push(closedBy('fire-risk', residueCoverFrac, FIRE_RESIDUE_FRAC, '1'));
};
