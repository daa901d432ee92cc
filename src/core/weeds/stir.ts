import type { WeatherDays } from '../weather/series.ts';
import type { WeedPass } from './days.ts';

const BASE_C = 3;

/** Odds that a disturbance still shows after x C d: logit 1.03 - 0.00221 x. Schutte et al. 2014, table 4. */
const showing = (heatCd: number): number => 1 / (1 + Math.exp(0.00221 * heatCd - 1.03));
const FRESH = showing(0);

/**
 * How far the ground is stirred, a value a day: share loosened x P(x) / P(0), 1 right after a pass over all of it. The
 * stronger of an old and a new pass counts. A species germinates 1 + (stirFactor - 1) x this times as fast. Seeds that
 * would have slept come up as well: the study saw the season's total double, so a species' year may exceed 1.
 * x = air heat above 3 C since the pass. Hand mixing in the study was stronger than field tools are.
 * Source: Schutte et al. 2014 Weed Research 54:1, table 4.
 */
export const stirredFrac = (weather: WeatherDays, passes: readonly WeedPass[]): Float64Array => {
  const stirred = new Float64Array(weather.days);
  const fresh = new Float64Array(weather.days);
  for (const pass of passes) {
    const i = pass.day - weather.startDay;
    if (i >= 0 && i < weather.days) fresh[i] = Math.max(fresh[i], pass.stirsGroundFrac);
  }
  let groundFrac = 0;
  let heatCd = 0;
  for (let i = 0; i < weather.days; i++) {
    const old = groundFrac === 0 ? 0 : (groundFrac * showing(heatCd)) / FRESH;
    if (fresh[i] > 0 && fresh[i] >= old) {
      groundFrac = fresh[i];
      heatCd = 0;
    }
    stirred[i] = Math.max(old, fresh[i]);
    heatCd += Math.max(0, (weather.tempMaxC[i] + weather.tempMinC[i]) / 2 - BASE_C);
  }
  return stirred;
};
