import type { WeatherDays } from '../weather/series.ts';
import type { WeedDays } from '../weeds/days.ts';
import { type Species, weedStages } from '../weeds/schema.ts';

const OVER_15_CM = weedStages.indexOf('over15Cm');
/** Fewer than this share of the year's seedlings are not worth a machine. Default of judgement. */
const WORTH_SEEING_FRAC = 0.001;

/**
 * Height of the tallest weeds, cm, a value a day; 0 until some stand above 15 cm. From 15 cm on they are taken to grow as
 * fast as from 10 to 15 cm, with the heat since the first of those alive passed 15 cm. Default of ours: nothing
 * published goes further than 15 cm, and weeds speed up, so this is on the low side.
 * @param species in the order of `weeds.species`
 * @param weather the days of `weeds`
 */
export const tallestWeedCm = (weeds: WeedDays, species: readonly Species[], weather: WeatherDays): Float64Array => {
  const tallest = new Float64Array(weeds.days);
  species.forEach(({ height, leaf }, k) => {
    if (height === null) return;
    const tall = weeds.species[k].stockFrac[OVER_15_CM];
    const cmPerCd = 5 / Math.max(1, height.to15CmCd - height.to10CmCd);
    let heatCd = 0;
    for (let i = 0; i < weeds.days; i++) {
      if (tall[i] < WORTH_SEEING_FRAC) {
        heatCd = 0;
        continue;
      }
      tallest[i] = Math.max(tallest[i], 15 + heatCd * cmPerCd);
      heatCd += Math.max(0, (weather.tempMaxC[i] + weather.tempMinC[i]) / 2 - leaf.baseTempC);
    }
  });
  return tallest;
};
